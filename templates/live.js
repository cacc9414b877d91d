// Asks the program whether there is a newer version, and loads the page anew where there is.
const shown = document.getElementById("live").dataset.version;
const link = document.getElementById("live-link");
async function wait() {
  try {
    const answer = await fetch("/live/after/" + shown);
    const version = answer.ok ? await answer.text() : shown;
    link.textContent = "";
    if (version !== shown) {
      location.reload();
    } else {
      // The answer waits for a change; a refusal comes at once.
      setTimeout(wait, answer.ok ? 0 : 1000);
    }
  } catch (gone) {
    link.textContent = "The program has ended; this page stands still.";
    setTimeout(wait, 1000);
  }
}
wait();
