//! What an editor asks of an open file: messages, completion, hover, names, outline, formatting, quick fixes.
//! Pure: text in, answers in the shapes of the language server protocol (3.17) out; `cli` speaks the protocol.

mod built;
mod complete;
pub(crate) mod family;
mod fixes;
mod hover;
pub(crate) mod names;
mod outline;
pub(crate) mod position;
mod scan;
mod spot;

use std::collections::VecDeque;
use std::sync::Arc;

use serde_json::{Value, json};

use crate::diag::{Diag, Signal, Sources, Span};
use crate::language::loading::{Loader, beside};
use crate::language::parse::Parsed;
use crate::language::symbols::{Mention, mentions};
use crate::language::syntax::{Form, Head, ItemForm, Tree};
use crate::language::tidy::tidy_text;
use crate::rules::report::{lacking, of};
use crate::schema::Block;
use crate::schema::tables::ROOT;
use crate::{Compiled, Outcome, Reading, Said};

/// One open file and what is known of it.
pub(crate) struct Page {
    /// Its name as `use` and messages know it.
    pub(crate) name: String,
    /// Its text.
    pub(crate) text: String,
    /// The family it belongs to: a lamp, or what was built of one.
    root: &'static Block,
    /// Its number in the sources of `outcome`.
    file: u32,
    tree: Arc<Tree>,
    /// Trees of the files it uses.
    others: Vec<Arc<Tree>>,
    /// What was parsed: a file that did not change is not parsed again.
    parsed: Parsed,
    outcome: Outcome,
    /// The last state that compiled: hover has figures while a line is being written.
    good: Option<Box<Compiled>>,
    /// False from an edit until the text is worked out again.
    fresh: bool,
    /// What is not worked out yet.
    waits: Waits,
    /// What is wrong in a variant and not in the lamp without it.
    in_variants: Vec<Diag>,
}

/// What of a text is still to be worked out, with what it needs.
enum Waits {
    Nothing,
    /// Physics and rules.
    Rules(Box<(Reading, Said)>),
    /// The variants, by their names.
    Variants(Box<Reading>, VecDeque<String>),
}

impl Page {
    /// Reads a text and says what the language finds wrong in it; `earlier` is the page of the same file before the
    /// edit. Physics and rules wait for [`Page::judged`].
    pub(crate) fn told(name: &str, text: &str, loader: &mut dyn Loader, earlier: Option<Self>) -> Self {
        if built::is_one(name) {
            return built::page(name, text, loader, earlier);
        }
        let mut earlier = earlier;
        let mut parsed = earlier.as_mut().map(|page| std::mem::take(&mut page.parsed)).unwrap_or_default();
        parsed.begin();
        let (reading, parts) = Reading::of_any(name, text, loader, &mut parsed);
        let file = u32::from(parts);
        let said = reading.said(None);
        let outcome = Outcome { compiled: None, sources: reading.sources().clone(), diags: said.errors() };
        let clean = outcome.diags.is_empty();
        let page = Self::of(name, text, &ROOT, (outcome, file), earlier, parsed);
        let waits = if clean { Waits::Rules(Box::new((reading, said))) } else { Waits::Nothing };
        Self { fresh: !clean, waits, ..page }
    }

    /// The page with figures, and with what the rules say of the lamp without a variant.
    pub(crate) fn judged(mut self) -> Self {
        match std::mem::replace(&mut self.waits, Waits::Nothing) {
            Waits::Rules(both) => {
                let (reading, said) = *both;
                let mut outcome = reading.judge(said);
                if let Some(compiled) = outcome.compiled.take() {
                    outcome.diags.extend(compiled.report.diags());
                    let variants: VecDeque<String> =
                        compiled.document.variants.iter().map(|v| v.value.clone()).collect();
                    if !variants.is_empty() {
                        self.waits = Waits::Variants(Box::new(reading), variants);
                    }
                    self.good = Some(compiled);
                }
                self.outcome.diags = outcome.diags;
                self.fresh = true;
            }
            other => self.waits = other,
        }
        self
    }

    /// The page with what is wrong in its next variant only; once all were looked at, whether there is any such thing.
    /// One variant at a time: a question that comes meanwhile waits for no more than that.
    pub(crate) fn with_variant(mut self) -> (Self, bool) {
        let Waits::Variants(reading, mut names) = std::mem::replace(&mut self.waits, Waits::Nothing) else {
            return (self, false);
        };
        let known = |d: &Diag, in_base: &[Diag]| {
            in_base.iter().any(|b| b.code == d.code && b.span() == d.span() && b.message == d.message)
        };
        if let Some(name) = names.pop_front() {
            let outcome = reading.work_out(Some(&name));
            let found = outcome.diags.into_iter().chain(outcome.compiled.iter().flat_map(|c| c.report.diags()));
            let only_here: Vec<Diag> = found.filter(|d| !known(d, &self.outcome.diags)).collect();
            self.in_variants.extend(only_here.into_iter().map(|d| {
                let message = format!("in variant `{name}`: {}", d.message);
                Diag { message, ..d }
            }));
        }
        if !names.is_empty() {
            self.waits = Waits::Variants(reading, names);
            return (self, false);
        }
        let any = !self.in_variants.is_empty();
        (self, any)
    }

    /// Whether it has no figures yet, not even those of an earlier text, and could have them.
    pub(crate) fn has_none_yet(&self) -> bool {
        self.good.is_none() && self.waits_for_rules()
    }

    /// Whether figures and findings of the rules are still to come.
    pub(crate) fn waits_for_rules(&self) -> bool {
        matches!(self.waits, Waits::Rules(_))
    }

    /// Whether its variants are still to be looked at.
    pub(crate) fn waits_for_variants(&self) -> bool {
        matches!(self.waits, Waits::Variants(..))
    }

    /// The page of a text that came to `outcome`, as the file of this number in its sources.
    fn of(
        name: &str,
        text: &str,
        root: &'static Block,
        (mut outcome, file): (Outcome, u32),
        earlier: Option<Self>,
        mut parsed: Parsed,
    ) -> Self {
        let tree = parsed.parse(file, text, &mut Vec::new());
        let others = outcome
            .sources
            .iter()
            .zip(0..)
            .filter(|(_, number)| *number != file)
            .map(|(source, number)| parsed.parse(number, &source.text, &mut Vec::new()))
            .collect();
        let good = outcome.compiled.take().or(earlier.and_then(|page| page.good));
        let (name, text) = (name.to_owned(), text.to_owned());
        let (waits, in_variants) = (Waits::Nothing, Vec::new());
        Self { name, text, root, file, tree, others, parsed, outcome, good, fresh: true, waits, in_variants }
    }

    /// The page after an edit, before anything is worked out: names and blocks are those of the new text, figures and
    /// messages those of the old one. An answer need not wait for the physics.
    pub(crate) fn edited(mut self, text: &str) -> Self {
        let tree = self.parsed.parse(self.file, text, &mut Vec::new());
        Self { text: text.to_owned(), tree, fresh: false, waits: Waits::Nothing, ..self }
    }

    /// The files it was read with.
    pub(crate) fn sources(&self) -> &Sources {
        &self.outcome.sources
    }

    /// Every name in it and in the files it uses; its own come first.
    fn names(&self) -> Vec<Mention> {
        if spot::is_built(self.root) {
            return built::names(&self.tree, &self.others);
        }
        let trees: Vec<&Tree> = std::iter::once(&self.tree).chain(&self.others).map(Arc::as_ref).collect();
        mentions(&trees, &ROOT)
    }

    /// Kind and name of every part within reach.
    fn parts(&self) -> Vec<(String, String)> {
        let trees = std::iter::once(&self.tree).chain(&self.others);
        let heads = trees.flat_map(|t| &t.items).filter_map(|item| match &item.form {
            ItemForm::Statement(s) if s.word.value == "part" => match &s.form {
                Form::Block(head, _) => Some(head),
                _ => None,
            },
            _ => None,
        });
        let pair = |head: &Vec<Head>| match head.as_slice() {
            [kind, name, ..] => Some((kind.text.value.clone(), name.text.value.clone())),
            _ => None,
        };
        heads.filter_map(pair).collect()
    }

    /// Messages about the lamp, then those about its variants.
    fn messages(&self) -> impl Iterator<Item = &Diag> {
        self.outcome.diags.iter().chain(&self.in_variants)
    }

    /// Messages as `Diagnostic`s.
    pub(crate) fn diagnostics(&self) -> Vec<Value> {
        let mut found: Vec<Value> = self.messages().filter_map(|d| self.diagnostic(d)).collect();
        let clean = !self.outcome.diags.iter().any(|d| d.signal == Signal::Error);
        if let Some(compiled) = self.good.as_ref().filter(|_| clean && self.file == 0) {
            for (rule, subject, missing) in compiled.report.not_checked() {
                if missing.span.file != self.file {
                    continue;
                }
                let of = of(subject);
                found.push(json!({
                    "range": position::range_of(&self.text, missing.span), "severity": 4, "code": rule.name,
                    "source": "lampwright",
                    "message": format!("not checked{of}: {}", lacking(missing, &compiled.solution.ledger)),
                }));
            }
        }
        found
    }

    fn diagnostic(&self, diag: &Diag) -> Option<Value> {
        let here = diag.labels.iter().find(|l| l.span.file == self.file).map(|l| l.span);
        if self.file != 0 && here.is_none() {
            return None;
        }
        let elsewhere = (diag.span().file != self.file).then(|| self.outcome.sources.cite(diag.span()));
        let span = here.unwrap_or_else(|| self.use_of(diag.span().file));
        let severity = match diag.signal {
            Signal::Error | Signal::Danger => 1,
            Signal::Warning | Signal::Caution => 2,
            Signal::Notice => 3,
        };
        let mut message = match elsewhere {
            Some(place) => format!("{place}: {}", diag.message),
            None => diag.message.clone(),
        };
        if let Some(help) = &diag.help {
            message.push_str(&format!("\n{help}"));
        }
        Some(json!({
            "range": position::range_of(&self.text, span), "severity": severity, "code": diag.code,
            "source": "lampwright", "message": message,
        }))
    }

    /// The `use` that brings a file in; the start of the text where it comes in by another file.
    fn use_of(&self, file: u32) -> Span {
        let name = self.outcome.sources.get(file).map_or("", |f| f.name.as_str());
        let own = self.tree.items.iter().find_map(|item| match &item.form {
            ItemForm::Statement(s) if s.word.value == "use" => {
                let written = self.text.get(s.span.start as usize..s.span.end as usize)?;
                let path = written.split('"').nth(1)?;
                // Beside this file, or in the library.
                let brings = name == beside(&self.name, path) || name == beside("", path);
                brings.then_some(s.span)
            }
            _ => None,
        });
        own.unwrap_or(Span::new(self.file, 0, 0))
    }

    /// Completion at a place.
    pub(crate) fn completion(&self, byte: usize) -> Vec<Value> {
        complete::complete(&self.text, self.root, byte, &self.names(), &self.parts())
    }

    /// The whole text in its canonical form; nothing where it has errors or is so already.
    pub(crate) fn formatted(&self) -> Option<Vec<Value>> {
        let tidied = tidy_text(self.file, &self.text, self.root).ok()?;
        if tidied == self.text {
            return Some(Vec::new());
        }
        let range = position::range(&self.text, 0, self.text.len());
        Some(vec![json!({ "range": range, "newText": tidied })])
    }
}
