//! What can come off, prick or wind round a neck, and for whom a toy with it is not.

use crate::fabric::{Fabric, StepKind};
use crate::pattern::Pattern;
use crate::prose;
use crate::source::Source;

/// Something that calls for a caution.
struct Hazard {
    /// Words by which it is used, in lower case.
    words: &'static [&'static str],
    /// What to say.
    says: &'static str,
}

/// Small parts are not for children under 3 (16 CFR 1501); toys that are sold fall under local law (EN 71, ASTM F963; from memory). The rest
/// is common practice, no source.
const HAZARDS: &[Hazard] = &[
    Hazard {
        words: &["eyes", "nose", "noses"],
        says: "Safety eyes and noses are small parts and can come off, washers or not. Not for children under 3: for them leave these parts out and embroider instead.",
    },
    Hazard {
        words: &[
            "button", "buttons", "bead", "beads", "sequins", "googly", "bell", "bells",
        ],
        says: "Buttons, beads and the like are small parts and can come off. Not for children under 3: for them leave these out and embroider instead.",
    },
    Hazard {
        words: &["wire", "wires", "cleaner", "cleaners", "dowel", "skewer"],
        says: "Wire and sticks can work their way through the fabric and prick. Not for children: leave them out and stuff firmly instead.",
    },
    Hazard {
        words: &[
            "cord",
            "cords",
            "string",
            "strings",
            "ribbon",
            "ribbons",
            "drawstring",
        ],
        says: "Cords and ribbons can wind round a neck. Not for babies and small children: leave them off, or keep them very short and sew them down firmly.",
    },
    Hazard {
        words: &["magnet", "magnets"],
        says: "Magnets are dangerous when swallowed. Not for children: sew the parts together instead.",
    },
    Hazard {
        words: &[
            "pellets", "pellet", "rice", "rattle", "squeaker", "keyring", "keychain",
        ],
        says: "Loose filling, rattles, squeakers and rings are small parts once a seam opens. Not for children under 3: use toy stuffing alone, and leave the others out.",
    },
];

/// Words by which something is not used.
const LEFT_OUT: &[&str] = &[
    "without",
    "no",
    "not",
    "embroider",
    "embroidered",
    "don't",
    "don’t",
];

/// The cautions that a pattern calls for, a paragraph each, with a last one on selling; none if it has nothing of the kind.
pub fn cautions(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Vec<String> {
    let prose = prose::sentences(source, pattern);
    let has_eyes = pattern.header.entry(&["eyes"]).is_some()
        || fabric
            .pieces
            .iter()
            .flat_map(|piece| &piece.steps)
            .any(|step| matches!(step.kind, StepKind::Eyes(_)));
    let is_used = |hazard: &Hazard| {
        if hazard.words.contains(&"eyes") {
            return has_eyes;
        }
        prose.sentences.iter().any(|sentence| {
            !sentence.in_round && sentence.has(hazard.words) && !sentence.has(LEFT_OUT)
        })
    };
    let mut said: Vec<String> = HAZARDS
        .iter()
        .filter(|hazard| is_used(hazard))
        .map(|hazard| hazard.says.to_owned())
        .collect();
    if !said.is_empty() {
        said.push("If you sell the finished toy or give it to a child, follow the toy-safety rules of the place where you do so.".to_owned());
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Vec<String> {
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let (fabric, _) = crate::fabric::work(&pattern);
        cautions(&source, &pattern, &fabric)
    }

    #[test]
    fn what_can_come_off_is_cautioned_against_and_selling_said_once() {
        let body = "\n## Ball\nRnd 1: 6 sc in magic ring (6)\n";
        assert!(of(body).is_empty());
        let eyes = of(&format!("Eyes: 9 mm, 2\n{body}"));
        assert_eq!(eyes.len(), 2);
        assert!(
            eyes[0].contains("under 3")
                && eyes[0].contains("embroider")
                && eyes[1].contains("sell")
        );
        let more = of(&format!(
            "# T\n\n## Materials\n\n- Two buttons\n- Wire, 1 mm\n- A length of cord\n{body}"
        ));
        assert_eq!(more.len(), 4, "{more:?}");
        assert!(of(&format!("# T\n\nThere is no wire in it.\n{body}")).is_empty());
    }
}
