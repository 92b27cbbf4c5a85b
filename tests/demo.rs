//! The demo plays the whole job in a fresh folder.

use crate::PROGRAM;
use crate::report::is_self_contained;
use dyebook_testkit::Lab;

#[test]
fn the_demo_plays_the_whole_job_and_says_that_it_is_invented() {
    let lab = Lab::empty(PROGRAM);
    let said = lab.done(&["demo", "play"]);
    assert!(said.out.contains("INVENTED"), "{}", said.out);
    let reports: Vec<_> = std::fs::read_dir(lab.path("play/reports"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    assert!(reports.len() >= 5, "{reports:?}");
    for path in &reports {
        let html = std::fs::read_to_string(path).unwrap();
        is_self_contained(&html);
        assert!(
            html.to_lowercase().contains("invented"),
            "{} does not say so",
            path.display()
        );
        assert!(
            said.out
                .contains(path.strip_prefix(lab.folder()).unwrap().to_str().unwrap())
        );
    }
    assert!(!lab.library().exists(), "the demo left its folder");
}

#[test]
fn what_the_demo_says_to_try_next_works() {
    let lab = Lab::empty(PROGRAM);
    let answer = lab.answer(0, &["demo", "play"]);
    let next = answer["try_next"].as_array().unwrap();
    assert!(next.len() >= 3);
    for line in next {
        let words: Vec<&str> = line.as_str().unwrap().split(' ').collect();
        assert_eq!(words[0], "dyebook");
        let said = lab.run(&words[1..]);
        // A sheet with a mistake in it needs a person, also in the demo.
        assert!(
            [0, 1].contains(&said.code) && !said.out.is_empty(),
            "{line}: {said:?}"
        );
    }
    let library = answer["library"].as_str().unwrap();
    let verified = lab.answer(0, &["--library", library, "library", "verify"]);
    assert_eq!(verified["sound"], true);
    for file in answer["files"].as_array().unwrap() {
        assert!(lab.path(file["path"].as_str().unwrap()).exists(), "{file}");
    }
}

#[test]
fn a_folder_that_holds_something_is_left_alone() {
    let lab = Lab::empty(PROGRAM);
    std::fs::create_dir(lab.path("mine")).unwrap();
    lab.write("mine/letter.txt", "keep me");
    let said = lab.ends_with(3, &["demo", "mine"]).err;
    assert!(said.contains("mine"), "{said}");
    assert_eq!(std::fs::read_dir(lab.path("mine")).unwrap().count(), 1);
}

#[test]
fn two_demos_stand_beside_each_other() {
    let lab = Lab::empty(PROGRAM);
    let first = lab.answer(0, &["demo"]);
    let second = lab.answer(0, &["demo"]);
    assert_ne!(first["directory"], second["directory"]);
}
