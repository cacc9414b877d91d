//! The packet's folder: written whole beside the old one, then swapped in; what the program did not write stays.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::render::File;

use super::output::Trouble;

/// Lists the files of a packet, so that the next run knows which are its own.
const MANIFEST: &str = "packet.files";

/// Writes the files into `folder`, replacing the packet that stands there.
///
/// A run that is interrupted leaves the old packet as it was. A file there that an earlier run did not write is kept;
/// where the packet would need its name, nothing is written at all.
pub(super) fn write_packet(folder: &Path, files: &[File]) -> Result<(), Trouble> {
    names_a_folder(folder)?;
    let own = owned(folder)?;
    let foreign = foreign(folder, &own)?;
    if let Some(clash) = files.iter().find(|f| foreign.iter().any(|p| p == Path::new(&f.path))) {
        return Err(Trouble::new(format!("{} is not of an earlier packet", shown(&folder.join(&clash.path))))
            .help("move it away, or write the packet into another folder; nothing was written"));
    }
    let parent = parent(folder);
    fs::create_dir_all(&parent).map_err(|e| trouble("cannot make", &parent, &e))?;
    let staging = Staging::beside(folder, &parent)?;
    let made = stage(&staging.path, folder, files, &foreign).and_then(|()| swap(&staging.path, folder));
    if made.is_err() {
        let _ = fs::remove_dir_all(&staging.path);
    }
    match made? {
        Left::Nothing => Ok(()),
        Left::OldPacket => clear_away(&staging.path, folder),
    }
}

/// Refuses what is no name of a folder: `-`, which elsewhere means standard output, and nothing at all.
pub(super) fn names_a_folder(folder: &Path) -> Result<(), Trouble> {
    let first = folder.components().next();
    match first.map(|c| c.as_os_str()) {
        None => Err(Trouble::new("the folder to write into has no name").help("write `-o out`")),
        Some(name) if name == "-" => Err(Trouble::new("a packet is a folder of files; `-` is no folder")
            .help("name a folder, or print one file of the packet: `--stdout packet.pdf`")),
        Some(_) => Ok(()),
    }
}

/// The folder that a packet is written into before it takes its place; locked while its run lives.
struct Staging {
    path: PathBuf,
    /// Held, so that another run does not take the folder for one that was left behind.
    _lock: Option<fs::File>,
}

impl Staging {
    /// Makes it, and clears away what runs that were killed left behind.
    fn beside(folder: &Path, parent: &Path) -> Result<Self, Trouble> {
        let begin = format!(".{}.new-", name(folder));
        // One run at a time looks for what is left and makes its own; a system without locks clears nothing away.
        let turn = fs::File::open(parent).ok().filter(|f| locked(f, true));
        if turn.is_some() {
            clear_left_behind(parent, &begin);
        }
        let path = numbered(parent, &begin).map_err(|e| trouble("cannot make a folder beside", folder, &e))?;
        let lock = fs::File::open(&path).ok().filter(|f| locked(f, true));
        Ok(Self { path, _lock: lock })
    }
}

/// Makes a folder that no other run has. The number of the process is a good guess, and no more than that: runs in two
/// containers may have the same one.
fn numbered(parent: &Path, begin: &str) -> io::Result<PathBuf> {
    let mut number = std::process::id();
    loop {
        let path = parent.join(format!("{begin}{number}"));
        match fs::create_dir(&path) {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && number < u32::MAX => number += 1,
            made => return made.map(|()| path),
        }
    }
}

/// Removes each staging folder that no living run holds.
fn clear_left_behind(parent: &Path, begin: &str) {
    let Ok(entries) = fs::read_dir(parent) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let ours = name.to_str().and_then(|n| n.strip_prefix(begin)).is_some_and(|n| n.parse::<u32>().is_ok());
        if ours && fs::File::open(entry.path()).is_ok_and(|f| locked(&f, false)) {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Takes the lock of an open folder; the system gives it back when the run ends, however it ends.
#[cfg(unix)]
fn locked(file: &fs::File, wait: bool) -> bool {
    use rustix::fs::{FlockOperation, flock};
    let how = if wait { FlockOperation::LockExclusive } else { FlockOperation::NonBlockingLockExclusive };
    flock(file, how).is_ok()
}

#[cfg(not(unix))]
fn locked(_: &fs::File, _: bool) -> bool {
    false
}

fn stage(staging: &Path, folder: &Path, files: &[File], foreign: &[PathBuf]) -> Result<(), Trouble> {
    for file in files {
        write_below(staging, Path::new(&file.path), &file.bytes)?;
    }
    let mut manifest: Vec<&str> = files.iter().map(|f| f.path.as_str()).collect();
    manifest.sort_unstable();
    write_below(staging, Path::new(MANIFEST), format!("{}\n", manifest.join("\n")).as_bytes())?;
    for path in foreign {
        let (from, to) = (folder.join(path), staging.join(path));
        make_parent(&to)?;
        // A hard link keeps the one file; a copy serves where links do not work.
        fs::hard_link(&from, &to)
            .or_else(|_| fs::copy(&from, &to).map(|_| ()))
            .map_err(|e| trouble("cannot keep", &from, &e))?;
    }
    as_open(staging, folder)
}

/// The new folder is open to those whom the old one was open to, and to nobody else.
fn as_open(staging: &Path, folder: &Path) -> Result<(), Trouble> {
    let (Ok(old), Ok(new)) = (fs::metadata(folder), fs::metadata(staging)) else { return Ok(()) };
    // One that may only be read could not be filled, nor cleared away.
    if old.permissions() == new.permissions() || old.permissions().readonly() {
        return Ok(());
    }
    fs::set_permissions(staging, old.permissions()).map_err(|e| trouble("cannot write", staging, &e))
}

#[expect(clippy::disallowed_methods, reason = "files are written in cli/ only")]
fn write_below(folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let target = folder.join(path);
    make_parent(&target)?;
    fs::write(&target, bytes).map_err(|e| trouble("cannot write", &target, &e))
}

fn make_parent(path: &Path) -> Result<(), Trouble> {
    let Some(parent) = path.parent() else { return Ok(()) };
    fs::create_dir_all(parent).map_err(|e| trouble("cannot make", parent, &e))
}

/// What stands under the staging name once the new packet is in place.
enum Left {
    Nothing,
    OldPacket,
}

/// Puts the new folder in the old one's place, in one step where the system can.
fn swap(staging: &Path, folder: &Path) -> Result<Left, Trouble> {
    if !folder.exists() {
        match fs::rename(staging, folder) {
            // Another run was there first.
            Err(e) if matches!(e.kind(), io::ErrorKind::DirectoryNotEmpty | io::ErrorKind::AlreadyExists) => {}
            Err(e) => return Err(trouble("cannot write", folder, &e)),
            Ok(()) => return Ok(Left::Nothing),
        }
    }
    exchange(staging, folder).map_err(|e| trouble("cannot replace", folder, &e))?;
    Ok(Left::OldPacket)
}

/// Drops the old packet. Where what came into it meanwhile cannot be brought over, it stays, under a name that no
/// later run takes for something left behind.
fn clear_away(old: &Path, folder: &Path) -> Result<(), Trouble> {
    rescue(old, folder).map_err(|trouble| {
        let kept = aside(old);
        let _ = fs::rename(old, &kept);
        trouble.help(format!("the new packet is written; the old folder with all that was in it is {}", shown(&kept)))
    })?;
    let _ = fs::remove_dir_all(old);
    Ok(())
}

/// What came into the old folder while the new one was written is not lost with it.
fn rescue(old: &Path, folder: &Path) -> Result<(), Trouble> {
    for path in foreign(old, &owned(old)?)? {
        let to = folder.join(&path);
        if fs::symlink_metadata(&to).is_err() {
            make_parent(&to)?;
            fs::rename(old.join(&path), &to).map_err(|e| trouble("cannot keep", &old.join(&path), &e))?;
        }
    }
    Ok(())
}

#[cfg(target_os = "linux")]
fn exchange(a: &Path, b: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    match renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(()),
        Err(rustix::io::Errno::INVAL | rustix::io::Errno::NOSYS | rustix::io::Errno::OPNOTSUPP) => {
            exchange_in_steps(a, b)
        }
        Err(error) => Err(error.into()),
    }
}

#[cfg(not(target_os = "linux"))]
fn exchange(a: &Path, b: &Path) -> io::Result<()> {
    exchange_in_steps(a, b)
}

/// Three renames, for file systems that cannot exchange: a run that is killed between them leaves the old packet, whole,
/// under a name of its own.
fn exchange_in_steps(a: &Path, b: &Path) -> io::Result<()> {
    let aside = aside(a);
    fs::rename(b, &aside)?;
    fs::rename(a, b).inspect_err(|_| drop(fs::rename(&aside, b)))?;
    fs::rename(&aside, a)
}

/// A free name beside the staging folder that no run clears away: `.out.old-1`.
fn aside(staging: &Path) -> PathBuf {
    let named = |number: u32| staging.with_extension(format!("old-{number}"));
    (1..u32::MAX).map(named).find(|path| fs::symlink_metadata(path).is_err()).unwrap_or_else(|| named(0))
}

/// What an earlier run wrote into the folder.
fn owned(folder: &Path) -> Result<Vec<PathBuf>, Trouble> {
    match fs::symlink_metadata(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(trouble("cannot look into", folder, &error)),
        Ok(meta) if meta.is_symlink() => {
            return Err(Trouble::new(format!("{} is a link", shown(folder)))
                .help("name the folder that it leads to: a packet takes the place of a folder as a whole"));
        }
        Ok(meta) if !meta.is_dir() => {
            return Err(
                Trouble::new(format!("{} is not a folder", shown(folder))).help("name another folder with `-o`")
            );
        }
        Ok(_) => {}
    }
    #[expect(clippy::disallowed_methods, reason = "files are read in cli/ only")]
    let manifest = fs::read_to_string(folder.join(MANIFEST)).unwrap_or_default();
    let mut own: Vec<PathBuf> = manifest.lines().map(PathBuf::from).collect();
    if !manifest.is_empty() {
        own.push(PathBuf::from(MANIFEST));
    }
    Ok(own)
}

/// Files in the folder that no earlier run wrote, by path below it.
fn foreign(folder: &Path, own: &[PathBuf]) -> Result<Vec<PathBuf>, Trouble> {
    let mut found = Vec::new();
    let mut open = vec![PathBuf::new()];
    while let Some(below) = open.pop() {
        let at = folder.join(&below);
        let entries = match fs::read_dir(&at) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
            Err(error) => return Err(trouble("cannot look into", &at, &error)),
        };
        for entry in entries {
            let entry = entry.map_err(|e| trouble("cannot look into", &at, &e))?;
            let path = below.join(entry.file_name());
            let is_dir = entry.file_type().is_ok_and(|t| t.is_dir());
            if is_dir {
                open.push(path);
            } else if !own.contains(&path) {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

fn parent(folder: &Path) -> PathBuf {
    match folder.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn name(folder: &Path) -> String {
    folder.file_name().map_or_else(|| "packet".to_owned(), |n| n.to_string_lossy().into_owned())
}

/// A path as it is shown in messages.
pub(super) fn shown(path: &Path) -> String {
    path.display().to_string()
}

/// A path as a part of an address (RFC 3986): everything but letters, digits, `/`, `-`, `.`, `_` and `~` in per cent.
pub(super) fn in_address(path: &str) -> String {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"/-._~".contains(&b);
    path.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

/// A file error in a maker's words.
pub(super) fn trouble(what: &str, path: &Path, error: &io::Error) -> Trouble {
    Trouble::new(format!("{what} {}: {}", shown(path), reason(error)))
}

/// Writes a file that must not be there yet, whole or not at all.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), Trouble> {
    let made = fs::File::options().write(true).create_new(true).open(path);
    let mut file = made.map_err(|e| match e.kind() {
        io::ErrorKind::AlreadyExists => {
            Trouble::new(format!("{} is already there", shown(path))).help("name another file; nothing was written")
        }
        io::ErrorKind::NotFound => trouble("cannot write", path, &io::Error::other("its folder is not there"))
            .help("make the folder first, or name another"),
        _ => trouble("cannot write", path, &e),
    })?;
    io::Write::write_all(&mut file, text.as_bytes()).map_err(|e| {
        // Half a file would be in the way of the next try.
        let _ = fs::remove_file(path);
        trouble("cannot write", path, &e)
    })
}

/// Why a file could not be read or written.
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::AlreadyExists => "something of this name is there already".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is not a folder".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge => "a file may not grow that large here".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        _ => error.to_string(),
    }
}
