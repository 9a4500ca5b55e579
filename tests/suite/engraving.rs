//! What the feature `engrave` draws; and, without it, what is said instead.

use crate::run::Run;

#[cfg(not(feature = "engrave"))]
#[test]
fn without_the_engraver_the_message_says_how_to_get_it() {
    let folder = tempfile::tempdir().unwrap();
    for (name, form) in [("sheet.svg", "SVG"), ("sheet.PDF", "PDF")] {
        Run::new(["drill", "--scale", "C", "-o", name]).in_folder(folder.path()).code(2).stdout("").stderr(&format!(
            "error: this program was built without the engraver that draws {form}; hint: name the sheet `.musicxml` and \
             open it in a notation program, or build with `--features engrave`\n"
        ));
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[cfg(feature = "engrave")]
mod engraved {
    use std::path::Path;

    use super::Run;

    const ROOT: &str = env!("CARGO_MANIFEST_DIR");

    fn drawn(folder: &Path, name: &str) -> Vec<u8> {
        let asked = ["drill", "--scale", "C", "--octaves", "1", "--hand", "right", "--brief", "-o", name];
        // The engraver unpacks its glyphs where temporary files go, and must leave nothing there.
        let scratch = folder.join("scratch");
        std::fs::create_dir_all(&scratch).unwrap();
        Run::new(asked).in_folder(folder).env("TMPDIR", scratch.to_str().unwrap()).code(0).stdout("").stderr("");
        assert_eq!(std::fs::read_dir(&scratch).unwrap().count(), 0, "the folder of temporary files");
        std::fs::read(folder.join(name)).unwrap()
    }

    #[test]
    fn the_svg_of_a_fixed_sheet_is_stable() {
        let folder = tempfile::tempdir().unwrap();
        let svg = String::from_utf8(drawn(folder.path(), "sheet.svg")).unwrap();
        assert_eq!(svg.as_bytes(), drawn(folder.path(), "again.svg"), "the same sheet twice");
        let path = Path::new(ROOT).join("tests/data/c-major.svg");
        if std::env::var_os("THUMBUNDER_BLESS").is_some() {
            std::fs::write(&path, &svg).unwrap();
        }
        assert!(svg == std::fs::read_to_string(&path).unwrap(), "the sheet is drawn as {}", path.display());
    }

    #[test]
    fn every_digit_of_a_sheet_is_in_its_svg() {
        let folder = tempfile::tempdir().unwrap();
        let svg = String::from_utf8(drawn(folder.path(), "sheet.svg")).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let fingers = document.descendants().filter(|node| node.attribute("class") == Some("fing"));
        let text = |node: roxmltree::Node<'_, '_>| {
            node.descendants().filter(roxmltree::Node::is_text).filter_map(|node| node.text()).collect::<String>()
        };
        let digits: Vec<String> = fingers.map(|node| text(node).trim().to_owned()).collect();
        // C major up and down an octave, as in Hanon, The Virtuoso Pianist (1873), no. 39, and then the isolated step.
        assert_eq!(digits[..15].concat(), "123123454321321");
    }

    #[test]
    fn a_pdf_has_pages_and_the_same_bytes_twice() {
        let folder = tempfile::tempdir().unwrap();
        let pdf = drawn(folder.path(), "sheet.pdf");
        assert!(pdf.starts_with(b"%PDF-1."));
        assert_eq!(pdf, drawn(folder.path(), "again.pdf"));
    }

    fn page(name: &str) -> String {
        let score = Path::new(ROOT).join("corpus").join(name);
        Run::new(["assess".as_ref(), score.as_os_str(), "--format".as_ref(), "html".as_ref()]).code(0).stderr("").out
    }

    #[test]
    fn a_page_shows_its_spots_and_sheets_in_bare_outlines() {
        let page = page("sonatina-for-an-east-window.musicxml");
        let pictures: Vec<&str> =
            page.split("<svg ").skip(1).filter(|svg| svg.contains("fill=\"currentColor\"")).collect();
        // Three spots, and the sheets of two drills.
        assert_eq!(pictures.len(), 5);
        for picture in pictures {
            let picture = picture.split_once("</svg>").unwrap().0;
            assert!(picture.matches("<path").count() > 50);
            for word in [" id=", "class=", "style", "<text", "href", "<image", "NaN"] {
                assert!(!picture.contains(word), "{word}");
            }
        }
        assert!(!page.contains("class=\"spot\""), "no strips beside them");
        assert!(page.contains("Eb5 with finger 2") || page.contains("crossing to"), "described in words");
    }

    #[test]
    fn words_of_a_score_are_drawn_and_never_markup() {
        let path = Path::new(ROOT).join("corpus/sonatina-for-an-east-window.musicxml");
        let score = std::fs::read_to_string(path).unwrap();
        let words = "<direction><direction-type><words>&lt;/svg>&lt;script>alert(1)&lt;/script></words></direction-type>\
                     </direction><note";
        let hostile = score.replace("<note", words);
        assert!(hostile.contains("alert(1)"));
        let page = Run::new(["assess", "-", "--format", "html"]).stdin(hostile).code(0).stderr("").out;
        assert!(!page.contains("<script") && page.contains("fill=\"currentColor\""));
    }
}
