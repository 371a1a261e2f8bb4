//! The look of all pages: colours in a light and a dark set, sizes of letters, and the one style sheet.
//!
//! Sizes and spacing follow what helps dyslexic readers (the British Dyslexia Association's style
//! guide, from memory: a sans-serif face of 12 points and more, one and a half lines apart, left
//! aligned, 60 to 70 characters a line, no italics, underlining or capitals for emphasis, dark text
//! on a light ground that is not quite white). The hues of right and wrong come from the palette of
//! Okabe and Ito (2008, from memory), shaded until they stand out; no hue stands alone.

/// What a colour is for, and so how far it has to stand out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// What everything lies on.
    Ground,
    /// Letters.
    Text,
    /// Bars, lines and signs that carry a meaning.
    Shape,
    /// Rules that carry none.
    Ornament,
}

/// A colour in both sets.
#[derive(Clone, Copy, Debug)]
pub struct Colour {
    /// Its name in the style sheet.
    pub name: &'static str,
    /// What it is for.
    pub role: Role,
    /// On a light page.
    pub light: &'static str,
    /// On a dark page.
    pub dark: &'static str,
}

/// Every colour of the page.
pub const COLOURS: [Colour; 8] = [
    colour("ground", Role::Ground, "#fdf8ec", "#17191d"),
    colour("ink", Role::Text, "#1b1b1b", "#f3efe6"),
    colour("soft", Role::Text, "#474747", "#cbc7be"),
    colour("link", Role::Text, "#004f86", "#8ccaf5"),
    colour("right", Role::Shape, "#0072b2", "#56b4e9"),
    colour("wrong", Role::Shape, "#a84800", "#f0a35e"),
    colour("blank", Role::Shape, "#6a6a6a", "#9d9a93"),
    colour("rule", Role::Ornament, "#d9d0ba", "#3a3d44"),
];

/// The ground of a printed page.
pub const PRINTED_GROUND: &str = "#ffffff";

const fn colour(name: &'static str, role: Role, light: &'static str, dark: &'static str) -> Colour {
    Colour {
        name,
        role,
        light,
        dark,
    }
}

fn set(pick: impl Fn(&Colour) -> &'static str) -> String {
    let each = COLOURS
        .iter()
        .map(|colour| format!("--{}:{};", colour.name, pick(colour)));
    each.collect()
}

/// How large the letters of a page are on paper. Clear print has 12 points, better 14; large print 18 and
/// more, papers in 18 and 24 points are set bold (common practice, no source).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LetterSize {
    /// 12 points; on a screen the reader's own size.
    #[default]
    Twelve,
    /// 14 points.
    Fourteen,
    /// 18 points, bold.
    Eighteen,
    /// 24 points, bold.
    TwentyFour,
}

impl LetterSize {
    /// In points, of which an inch has 72.
    pub const fn points(self) -> u16 {
        match self {
            Self::Twelve => 12,
            Self::Fourteen => 14,
            Self::Eighteen => 18,
            Self::TwentyFour => 24,
        }
    }

    /// Whether it is large print, in which each option has a line of its own.
    pub const fn is_large(self) -> bool {
        matches!(self, Self::Eighteen | Self::TwentyFour)
    }

    /// The rules that differ from those of 12 points.
    fn rules(self) -> String {
        let pt = self.points();
        let larger = match self {
            Self::Twelve => String::new(),
            _ => format!("html{{font-size:{pt}pt}}\n"),
        };
        let bold = if self.is_large() {
            "body,pre{font-weight:700}\n.options span{display:block}\n"
        } else {
            ""
        };
        format!("@media print{{html{{font-size:{pt}pt}}}}\n{larger}{bold}")
    }
}

/// The style sheet.
pub fn sheet(size: LetterSize) -> String {
    let (light, dark) = (set(|colour| colour.light), set(|colour| colour.dark));
    let printed = set(|colour| match colour.role {
        Role::Ground => PRINTED_GROUND,
        Role::Text | Role::Shape | Role::Ornament => colour.light,
    });
    format!(
        ":root{{{light}}}\n\
         @media (prefers-color-scheme: dark){{:root{{{dark}}}}}\n\
         @media print{{:root{{{printed}}}}}\n\
         {SHEET}{}",
        size.rules()
    )
}

const SHEET: &str = "\
html{background:var(--ground);color:var(--ink)}
body{margin:0;font:1rem/1.5 Arial,Helvetica,\"Liberation Sans\",sans-serif;text-align:left}
.sheet{max-width:45rem;margin:0 auto;padding:1.5rem 1rem;overflow-wrap:break-word}
h1{font-size:1.625rem;line-height:1.3;margin:0 0 .25rem}
h2{font-size:1.1875rem;line-height:1.3;margin:0 0 .375rem;padding-top:.5rem;border-top:2px solid var(--rule)}
h3{font-size:1rem;line-height:1.3;margin:.5rem 0 .25rem}
p,ul,ol,dl{margin:0 0 .5rem;padding:0;max-width:30rem}
ul,ol{padding-left:1.375rem}
li{margin:0 0 .375rem;padding-left:.125rem}
section,header{margin:0 0 1rem}
svg{display:block;max-width:100%;height:auto}
.mark{font-size:1.875rem;line-height:1.3;font-weight:700;margin:0 0 .25rem}
.soft{color:var(--soft)}
.again{list-style:none;padding:0;max-width:none}
.again li{padding:0;margin:0 0 .625rem;min-width:0;break-inside:avoid}
.again p{margin:0 0 .25rem}
.again .across p{max-width:36rem}
.options span{display:inline-block;margin-right:1rem}
pre{font:1rem/1.2 \"DejaVu Sans Mono\",\"Liberation Mono\",Consolas,Menlo,monospace;margin:.25rem 0;overflow-x:auto}
.stem{white-space:pre-line}
.question{margin:0 0 1.25rem}
.side p{max-width:36rem}
.fields>span{display:inline-block;margin:0 1.5rem .5rem 0}
.gap{display:inline-block;min-width:9rem;height:1.25rem;border-bottom:1px solid var(--blank)}
.working{height:3cm}
.room{min-height:2rem;border-bottom:1px solid var(--blank)}
.rows{list-style:none;padding:0;max-width:none;columns:15rem;column-gap:2rem}
.rows li{break-inside:avoid}
.count{display:inline-block;min-width:2.25rem;margin-right:.5rem;font-weight:700;text-align:right}
.letter{display:inline-block;min-width:2rem;line-height:1.9rem;border:1px solid var(--blank);border-radius:1rem;text-align:center}
.card{max-width:30rem;padding:1rem;border:2px dashed var(--blank)}
.card table{margin:0 0 .75rem}
.pair>*{min-width:0}
table{border-collapse:collapse;width:100%}
caption{text-align:left;margin:0 0 .5rem}
th,td{text-align:left;vertical-align:top;padding:.25rem .75rem .25rem 0;border-bottom:1px solid var(--rule)}
td.number,th.number{text-align:right}
.wide{overflow-x:auto}
.wide+.wide{margin-top:1.5rem}
.facts{margin:0 0 1rem}
.facts th{width:40%;font-weight:400;overflow-wrap:anywhere}
.sheet:has(.term){max-width:75rem}
.term p,.term ul{max-width:42rem}
.grid-table{width:auto;margin:0 0 1rem}
.grid-table th,.grid-table td{padding:.25rem .625rem .25rem 0}
.grid-table svg{max-width:none}
.letters th,.letters td{padding:.25rem .5rem .25rem 0}
.on-each-side{display:none}
.under{display:block;font-weight:400}
.range{fill:none;stroke:var(--blank);stroke-width:1.5}
.sign{margin-top:3rem;max-width:none}
a{color:var(--link)}
text{font:1rem Arial,Helvetica,\"Liberation Sans\",sans-serif;fill:var(--ink)}
.halo{paint-order:stroke;stroke:var(--ground);stroke-width:4px}
.end{text-anchor:end}
.middle{text-anchor:middle}
.grid{stroke:var(--rule);stroke-width:1;fill:none}
.axis{stroke:var(--blank);stroke-width:1.5;fill:none}
.line{stroke:var(--right);stroke-width:3;fill:none}
.dot{fill:var(--right)}
.award{stroke:var(--wrong);stroke-width:2;stroke-dasharray:7 4;fill:none}
.plan{stroke:var(--ink);stroke-width:2;fill:none}
.bar-right{fill:var(--right)}
.bar-filled{fill:none;stroke:var(--right);stroke-width:2}
.bar-wrong{fill:none;stroke:var(--wrong);stroke-width:2}
.bar-blank,.bar-void,.bar-done{fill:none;stroke:var(--blank);stroke-width:2;stroke-dasharray:3 3}
.sign-right{fill:none;stroke:var(--right);stroke-width:3}
.sign-wrong{fill:none;stroke:var(--wrong);stroke-width:2.5}
.sign-blank,.sign-void,.sign-done{fill:none;stroke:var(--blank);stroke-width:2.5}
@media screen and (min-width:46rem),print{
.pair{display:grid;grid-template-columns:1fr 1fr;column-gap:1.5rem;align-items:start}
.pair>section{margin:0 0 .875rem}
.again{display:grid;grid-template-columns:1fr 1fr;column-gap:1.5rem}
.again .across{grid-column:1/-1}
}
@media print{
@page{size:A4;margin:12mm 11mm}
.sheet{max-width:none;padding:0}
@page turned{size:A4 landscape}
@page large{size:A3 landscape}
.turned,.term{page:turned}
.term .wide{overflow:visible}
.grid-table tr{break-inside:avoid}
caption,thead{break-after:avoid}
tbody tr:first-child{break-before:avoid}
.on-each-side{display:table-row}
.letters caption{display:none}
.large{page:large}
.side+.side,.side .side{break-before:page}
.print-whole,.facts tr,.question,.try,.card{break-inside:avoid}
h2{break-after:avoid}
li,p{orphans:2;widows:2}
}
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_that_is_used_is_defined() {
        let used = SHEET.split("var(--").skip(1);
        for name in used.filter_map(|rest| rest.split(')').next()) {
            assert!(COLOURS.iter().any(|colour| colour.name == name), "{name}");
        }
        for size in [LetterSize::Twelve, LetterSize::TwentyFour] {
            assert_eq!(sheet(size).matches("--ink:").count(), 3);
        }
    }
}
