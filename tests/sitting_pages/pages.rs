//! Every page as it looks.

use ratatui::layout::Size;

use crate::bench::{Bench, Disk, q};

/// A sitting in its twelfth minute: answers of every kind, a flag, one left for later.
fn under_way(mut bench: Bench) -> Bench {
    bench.at(60).keys("b<enter>");
    bench.at(150).keys("c?<tab><enter>");
    bench.at(300).keys(" ");
    bench.at(400).keys("<enter>a??<enter>e<enter>d<enter>");
    bench.at(700);
    bench
}

fn sized(mut bench: Bench, width: u16, height: u16) -> Bench {
    bench.size = Size::new(width, height);
    bench
}

fn blank_end() -> Bench {
    let mut bench = under_way(Bench::new());
    bench.keys("9<enter>abcdeabcde<home>");
    for _ in 9..=24 {
        bench.keys("a<enter>");
    }
    bench
}

#[test]
fn the_answer_sheet() {
    let bench = under_way(Bench::planned());
    insta::assert_snapshot!("sheet_80x24", bench.text());
    insta::assert_snapshot!(
        "sheet_60x18",
        sized(under_way(Bench::planned()), 60, 18).text()
    );
    insta::assert_snapshot!("sheet_120x40", sized(bench, 120, 40).text());
    insta::assert_snapshot!("first_80x24", Bench::planned().text());
}

#[test]
fn the_same_in_both_sets_of_styles() {
    let mut bench = under_way(Bench::new());
    bench.disk = Disk::Slow;
    bench.unsaved.insert(q(7));
    insta::assert_snapshot!("styles_plain", bench.styles());
    let plain = bench.text();
    bench.theme = pacebell::screens::theme::Theme::colour();
    insta::assert_snapshot!("styles_colour", bench.styles());
    assert_eq!(
        plain,
        bench.text(),
        "a colour says nothing that a sign does not"
    );
}

#[test]
fn figures_and_long_questions() {
    let mut bench = Bench::new();
    insta::assert_snapshot!("figure_80x24", bench.keys("2<enter>").text());
    insta::assert_snapshot!("wide_figure_80x24", bench.keys("3<enter>").text());
    insta::assert_snapshot!("long_question_80x24", bench.keys("4<enter><down>").text());
    insta::assert_snapshot!("wide_figure_60x18", {
        bench.keys("3<enter>");
        sized(bench, 60, 18).text()
    });
}

#[test]
fn a_printed_paper() {
    let mut bench = Bench::printed();
    insta::assert_snapshot!("printed_start_80x24", bench.text());
    bench.keys("7<enter>c<enter>d12");
    insta::assert_snapshot!("printed_80x24", bench.text());
    insta::assert_snapshot!("printed_60x18", sized(bench, 60, 18).text());
}

#[test]
fn saving_in_trouble() {
    let mut bench = under_way(Bench::new());
    bench.unsaved.extend([q(6), q(7)]);
    bench.disk = Disk::Broken;
    insta::assert_snapshot!("trouble_80x24", bench.text());
    bench.disk = Disk::BrokenWithNowhereElse;
    insta::assert_snapshot!("trouble_60x18", sized(bench, 60, 18).text());
}

#[test]
fn the_last_minutes() {
    let mut bench = blank_end();
    bench.at(57 * 60 + 12);
    insta::assert_snapshot!("reminder_80x24", bench.text());
    insta::assert_snapshot!("clock_hidden_80x24", bench.keys(".").text());
}

#[test]
fn the_sweep_crossing_out_leaving_and_a_glance() {
    let mut bench = under_way(Bench::new());
    bench.keys("8<enter>,a,d");
    insta::assert_snapshot!("crossed_out_80x24", bench.text());
    insta::assert_snapshot!("glance_80x24", bench.keys("=").text());
    bench.size = Size::new(60, 18);
    insta::assert_snapshot!("glance_60x18", bench.text());
    bench.size = Size::new(80, 24);
    insta::assert_snapshot!("sweep_80x24", bench.keys("<esc>!b").text());
    insta::assert_snapshot!("leave_80x24", bench.control('c').text());
}

#[test]
fn help_and_menu() {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    insta::assert_snapshot!("help_80x24", bench.keys("<f1>").text());
    let mut small = sized(Bench::new(), 60, 18);
    insta::assert_snapshot!("help_60x18", small.keys("?").text());
    insta::assert_snapshot!("help_60x18_below", small.keys("<down>").text());
    insta::assert_snapshot!("menu_80x24", bench.keys("<esc><esc>").text());
}

#[test]
fn checks_before_what_cannot_be_taken_back() {
    let mut bench = blank_end();
    let caution = "Check this year's rules first: nobody has recorded a check.";
    bench.advice.insert(0, caution.into());
    insta::assert_snapshot!("finish_80x24", bench.keys("<esc>f").text());
    insta::assert_snapshot!("finish_second_step_80x24", bench.keys("y").text());
    insta::assert_snapshot!("give_up_80x24", bench.keys("<esc><esc>q").text());
}

#[test]
fn a_rest_break() {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.at(33 * 60).keys("<esc>b");
    bench.at(40 * 60);
    insta::assert_snapshot!("rest_break_80x24", bench.text());
}

#[test]
fn time_up_and_the_guess_round() {
    let mut bench = blank_end();
    bench.at(3600);
    insta::assert_snapshot!("time_up_80x24", bench.text());
    bench.keys("f");
    insta::assert_snapshot!("time_up_second_step_80x24", bench.text());
    bench.keys("<esc>g<enter>bb");
    insta::assert_snapshot!("guess_round_80x24", bench.text());
    bench.keys("<esc>f");
    insta::assert_snapshot!("guess_round_check_80x24", bench.text());
    bench.keys("<esc>*");
    insta::assert_snapshot!("guess_round_filling_80x24", bench.text());
    bench.keys("y<enter><enter>");
    insta::assert_snapshot!("guess_round_filled_80x24", bench.text());
    insta::assert_snapshot!("time_up_60x18", {
        let mut bench = sized(blank_end(), 60, 18);
        bench.at(3600).text()
    });
}

#[test]
fn a_window_too_small_shows_the_clock_and_the_size_wanted() {
    let bench = sized(under_way(Bench::new()), 40, 10);
    insta::assert_snapshot!("too_small_40x10", bench.text());
}
