//! Setups and cut list of the example commission, from its text to the printed chapters.

use casewright::book::{self, Facts, Paper, Templates};
use casewright::elaborate::{Options, elaborate};
use casewright::measure::Length;
use casewright::model::Model;
use casewright::plan::setups::{Process, Setting, verify};
use casewright::plan::{self, Plans};
use casewright::source::{Files, ReadFault};
use std::path::PathBuf;

/// The folder of the example. Cautions that its maker allows are no matter here, so those lines are
/// left out: the plans must not depend on them.
struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let text = std::fs::read_to_string(self.0.join(path))
            .map_err(|error| ReadFault::System(error.to_string()))?;
        let kept: Vec<&str> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("allow "))
            .collect();
        Ok(kept.join("\n"))
    }
}

fn example() -> (Model, Plans) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/music-school");
    let out = elaborate(&Folder(folder), "commission.case", &Options::default())
        .expect("the example can be read");
    let model = out
        .model
        .unwrap_or_else(|| panic!("the example is sound: {:#?}", out.diagnostics));
    let plans = plan::make(&model);
    (model, plans)
}

#[test]
fn the_commissions_setups_keep_their_promises() {
    let (model, plans) = example();
    assert_eq!(verify(&model, &plans.setups), []);
    assert!(plans.setups.proven);
    // The floor stands 90 above the ground, the deck's underside 760 - 17.6 - 130 - 17.6 = 594.8:
    // one head for both, 17.6 and 0.1 wide.
    let dado = plans
        .setups
        .cards
        .iter()
        .find(|card| card.tooling.width == Some(Length::um(17_700)))
        .expect("floor and deck are housed");
    assert_eq!(dado.process, Process::Housing);
    let fences: Vec<Setting> = dado.rows.iter().map(|row| row.setting.clone()).collect();
    assert_eq!(
        fences,
        [90_000, 594_800].map(|um| Setting::Fence {
            at: Length::um(um),
            last: None
        })
    );
}

#[test]
fn every_card_and_every_part_is_printed() {
    let (model, plans) = example();
    let facts = Facts {
        model: &model,
        plans: &plans,
        findings: &[],
        paper: Paper::A4,
        revision: None,
        date: None,
        since: None,
    };
    let html = book::write(&facts, &Templates::built_in()).expect("the built-in templates hold");
    for card in &plans.setups.cards {
        let id = format!("id=\"setup{}p1\"", card.number);
        assert_eq!(html.matches(&id).count(), 1, "{id}");
    }
    let list = html
        .split("id=\"cutlist\"")
        .nth(1)
        .and_then(|rest| rest.split("</section>").next())
        .expect("the book has a cut list");
    for group in &model.groups {
        assert!(list.contains(&format!("<b class=\"pt\">{}</b>", group.mark)));
    }
}

/// One text.
struct One(&'static str);

impl Files for One {
    fn read(&self, _: &str) -> Result<String, ReadFault> {
        Ok(self.0.to_string())
    }
}

#[test]
fn the_page_of_a_missing_cutter_does_what_it_says() {
    let page = casewright::diag::explain("shop.no_cutter").expect("the code has a page");
    let sample = casewright::diag::sources(page).expect("the page has two sources");
    let found = |text: &'static str| {
        let out = elaborate(&One(text), "bin.case", &Options::default()).expect("it can be read");
        let model = out
            .model
            .unwrap_or_else(|| panic!("the page is sound: {:#?}", out.diagnostics));
        let findings = plan::make(&model).setups.findings;
        findings
            .iter()
            .map(|f| f.code.clone())
            .collect::<Vec<String>>()
    };
    assert_eq!(found(sample.fails), ["shop.no_cutter"]);
    assert!(found(sample.mended).is_empty());
}
