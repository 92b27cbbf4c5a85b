//! Names from inside the library as names of files.

/// Longest name, its ending apart.
const MOST: usize = 80;
/// Names that mean a device on some systems, whatever their ending.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// Letters, digits, `-`, `_`, `@` and `.` stay, anything else becomes `_`; a name never begins with
/// a dot, never is empty and never names a device, so that nothing is hidden and nothing escapes
/// the folder.
pub(super) fn safe(name: &str) -> String {
    let plain: String = name
        .chars()
        .take(MOST)
        .map(|c| {
            if c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '@' | '.') {
                c
            } else {
                '_'
            }
        })
        .collect();
    let begin: String = plain
        .chars()
        .take_while(char::is_ascii_alphabetic)
        .collect::<String>()
        .to_lowercase();
    let device = DEVICES.contains(&begin.as_str());
    if plain.is_empty() || plain.starts_with(['.', '-']) || device {
        return format!("_{}", plain.trim_start_matches('.'));
    }
    plain.trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::safe;

    #[test]
    fn no_name_leaves_its_folder_or_hides() {
        for (name, file) in [
            ("saline-paper@1.0.0", "saline-paper@1.0.0"),
            ("../../etc/passwd", "__.._etc_passwd"),
            ("/etc/passwd", "_etc_passwd"),
            ("a\\b:c\0d\ne", "a_b_c_d_e"),
            ("..", "_"),
            ("", "_"),
            ("-rf", "_-rf"),
            ("nul.csv", "_nul.csv"),
            ("Ωmega", "_mega"),
        ] {
            assert_eq!(safe(name), file);
        }
        assert!(safe(&"x".repeat(500)).len() <= 81);
    }
}
