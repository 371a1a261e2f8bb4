//! The words whose answers are kept, with the name of each.

/// A case: its name, the words, the exit code, and a file that it writes.
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) words: String,
    pub(crate) exit: i32,
    pub(crate) writes: Option<String>,
}

impl Case {
    /// From `words`, `words => file` or `words => exit N`.
    pub(crate) fn of((name, line): &(&str, &str)) -> Self {
        let (words, then) = line
            .split_once(" => ")
            .map_or((*line, None), |(words, then)| (words, Some(then)));
        let exit = then.and_then(|then| then.strip_prefix("exit "));
        Self {
            name: (*name).to_owned(),
            words: words.to_owned(),
            exit: exit.map_or(0, |code| code.parse().unwrap()),
            writes: then.filter(|_| exit.is_none()).map(str::to_owned),
        }
    }

    pub(crate) fn command(&self) -> &str {
        self.words.split(' ').next().unwrap()
    }

    /// The ending of the file for what is printed.
    pub(crate) fn ending(&self) -> &'static str {
        if self.words.ends_with(" --json") {
            "json"
        } else if self.command() == "feedback" && self.writes.is_none() {
            "html"
        } else {
            "txt"
        }
    }

    /// The ending of the file for what is written.
    pub(crate) fn written_ending(&self) -> &str {
        let written = self.writes.as_deref().unwrap();
        let name = written.rsplit('/').next().unwrap();
        name.split_once('.').unwrap().1
    }
}

pub(crate) const CASES: &[(&str, &str)] = &[
    (
        "paper-print",
        "paper print @a.paper -o paper.html => paper.html",
    ),
    (
        "paper-print-homework",
        "paper print @a.paper --homework --questions 3,11,15-18 --size 18 -o homework.html => homework.html",
    ),
    (
        "paper-print-answer-sheet",
        "paper print @a.paper --answer-sheet --pupil otter -o sheet.html => sheet.html",
    ),
    (
        "paper-print-key",
        "paper print @a.paper --with-key --key @a.key -o a.html => saltmarsh-a-key.html",
    ),
    (
        "evidence-lapwing",
        "evidence lapwing -o sheet.html => sheet.html",
    ),
    (
        "evidence-lapwing-csv",
        "evidence lapwing -o sheet.html --csv sheet.csv => sheet.csv",
    ),
    (
        "set-aside",
        "set-aside @marten-a --because false-start --by PB",
    ),
    (
        "set-aside-unclear",
        "set-aside marten --because x => exit 2",
    ),
    ("doctor", "doctor"),
    ("doctor-damaged", "doctor spoilt => exit 3"),
    (
        "repair",
        "repair spoilt/teasel/damaged.session.ron => spoilt/teasel/damaged.session.ron",
    ),
    ("repair-whole", "repair @marten-a"),
    ("rename", "rename lapwing heron"),
    ("rename-taken", "rename lapwing marten => exit 2"),
    ("gather-itself", "gather sessions => exit 1"),
    ("export", "export lapwing out => out/times.csv"),
    ("mark-one", "mark @marten-a --key @a.key"),
    ("mark-one-json", "mark @marten-a --key @a.key --json"),
    ("mark-guess-round", "mark @marten-old --key @old.key"),
    (
        "mark-guess-round-json",
        "mark @marten-old --key @old.key --json",
    ),
    (
        "mark-several",
        "mark @teasel-a @lapwing-a @teasel-b --key @a.key --key @b.key",
    ),
    (
        "mark-several-json",
        "mark @teasel-a @lapwing-a @teasel-b --key @a.key --key @b.key --json",
    ),
    (
        "mark-under",
        "mark @teasel-a --key @a.key --under @old.paper",
    ),
    (
        "mark-under-json",
        "mark @teasel-a --key @a.key --under @old.paper --json",
    ),
    (
        "mark-folder",
        "mark sessions --key @a.key --key @b.key --key @old.key",
    ),
    (
        "mark-folder-json",
        "mark sessions --key @a.key --key @b.key --key @old.key --json",
    ),
    (
        "mark-folder-under",
        "mark sessions --key @a.key --under @old.paper",
    ),
    (
        "mark-pupil",
        "mark lapwing --key @a.key --key @b.key --key @old.key",
    ),
    (
        "mark-pupil-json",
        "mark lapwing --key @a.key --key @b.key --key @old.key --json",
    ),
    ("mark-other-key", "mark @marten-a --key @b.key => exit 1"),
    (
        "mark-csv",
        "mark @teasel-a @lapwing-a @teasel-b --key @a.key --key @b.key --csv marked.csv => marked.csv",
    ),
    ("mark-nobody", "mark dipper --key @b.key => exit 1"),
    ("progress-lapwing", "progress lapwing"),
    ("progress-lapwing-json", "progress lapwing --json"),
    (
        "progress-lapwing-csv",
        "progress lapwing --csv season.csv => season.csv",
    ),
    ("progress-marten", "progress marten"),
    ("progress-marten-json", "progress marten --json"),
    ("progress-teasel", "progress teasel"),
    ("progress-teasel-json", "progress teasel --json"),
    (
        "group-sittings",
        "group sessions --paper saltmarsh-a --key @a.key --no-progress --csv group.csv => group.csv",
    ),
    (
        "group-sittings-json",
        "group sessions --paper saltmarsh-a --key @a.key --json",
    ),
    (
        "group-in-time",
        "group sessions --paper saltmarsh-old --key @old.key --in-time --options --no-progress",
    ),
    (
        "group-in-time-json",
        "group sessions --paper saltmarsh-old --key @old.key --in-time --json",
    ),
    (
        "group-guess-round-json",
        "group sessions --paper saltmarsh-old --key @old.key --json",
    ),
    (
        "group-list",
        "group --answers answers.csv --paper saltmarsh-a --key @a.key --options --no-progress --csv group.csv => group.csv",
    ),
    (
        "group-list-json",
        "group --answers answers.csv --paper saltmarsh-a --key @a.key --json",
    ),
    ("aim-mark", "aim saltmarsh-a --mark 76"),
    ("aim-mark-json", "aim saltmarsh-a --mark 76 --json"),
    ("aim-out-of-reach-json", "aim saltmarsh-a --mark 126 --json"),
    ("aim-award", "aim saltmarsh-old --award silver --others 3"),
    ("aim-award-json", "aim saltmarsh-old --award silver --json"),
    (
        "aim-chances",
        "aim saltmarsh-old --award gold --chance 1-10:0.9,11-20:3/5,21-25:guess",
    ),
    (
        "aim-chances-json",
        "aim saltmarsh-old --award gold --chance 0.9,0.6,0.2 --json",
    ),
    ("aim-pupil", "aim saltmarsh-a --award silver --pupil marten"),
    (
        "aim-pupil-json",
        "aim saltmarsh-a --award silver --pupil marten --json",
    ),
    ("luck-guesses", "luck saltmarsh-a --guesses 3,18,21-25"),
    (
        "luck-guesses-json",
        "luck saltmarsh-a --guesses 3,18,21-25 --json",
    ),
    (
        "luck-options-left",
        "luck saltmarsh-old --guesses 3,18-20 --options-left 3:2,18-20:4 --key @old.key",
    ),
    (
        "luck-chances-json",
        "luck saltmarsh-old --guesses 3,18-20 --chance 3:0.5,18-20:1/3 --json",
    ),
    (
        "luck-total",
        "luck saltmarsh-old --guesses 3,18,21-25 --total --right 1-2",
    ),
    (
        "luck-total-json",
        "luck saltmarsh-old --guesses 3,18,21-25 --total --right 1-2 --json",
    ),
    (
        "boundary-marks",
        "boundary --marks marks.csv --top 50% --ratio 3:2:1 --places 3",
    ),
    (
        "boundary-marks-json",
        "boundary --marks marks.csv --top 50% --ratio 3:2:1 --places 3 --json",
    ),
    (
        "boundary-not-above-json",
        "boundary --marks marks.csv --top 60% --ratio 2:1 --names merit,prize --tie not-above --json",
    ),
    (
        "boundary-at-least-json",
        "boundary --marks marks.csv --top 2/5 --ratio 5:3:2 --tie at-least --bootstrap 7 --json",
    ),
    (
        "boundary-list",
        "boundary --answers answers.csv --paper saltmarsh-a --key @a.key --top 2/5 --ratio 5:3:2 --bootstrap 7",
    ),
    (
        "boundary-list-json",
        "boundary --answers answers.csv --paper saltmarsh-a --key @a.key --top 2/5 --ratio 5:3:2 --json",
    ),
    (
        "boundary-sittings",
        "boundary @lapwing-a @marten-a @teasel-a --key @a.key --top 2/5 --ratio 5:3:2",
    ),
    (
        "boundary-sittings-json",
        "boundary @lapwing-a @marten-a @teasel-a --key @a.key --top 2/5 --ratio 5:3:2 --json",
    ),
    (
        "boundary-other-papers",
        "boundary sessions --key @a.key --top 2/5 --ratio 5:3:2",
    ),
    (
        "plan-marten",
        "plan marten --paper saltmarsh-b => sessions/marten/saltmarsh-b.plan.ron",
    ),
    ("plan-marten-json", "plan marten --paper saltmarsh-b --json"),
    (
        "plan-lapwing-old-json",
        "plan lapwing --paper saltmarsh-old --json",
    ),
    (
        "plan-teasel-award",
        "plan teasel --paper saltmarsh-a --for bronze => sessions/teasel/saltmarsh-a.plan.ron",
    ),
    (
        "plan-teasel-award-json",
        "plan teasel --paper saltmarsh-a --for bronze --json",
    ),
    ("hindsight-group", "hindsight"),
    ("hindsight-group-json", "hindsight --json"),
    ("hindsight-marten", "hindsight marten"),
    ("hindsight-marten-json", "hindsight marten --json"),
    ("forecast-lapwing-a", "forecast lapwing --paper saltmarsh-a"),
    (
        "forecast-lapwing-a-json",
        "forecast lapwing --paper saltmarsh-a --json",
    ),
    (
        "forecast-lapwing-b-json",
        "forecast lapwing --paper saltmarsh-b --json",
    ),
    (
        "forecast-lapwing-old-json",
        "forecast lapwing --paper saltmarsh-old --json",
    ),
    (
        "forecast-marten-a-json",
        "forecast marten --paper saltmarsh-a --json",
    ),
    ("forecast-marten-b", "forecast marten --paper saltmarsh-b"),
    (
        "forecast-marten-b-json",
        "forecast marten --paper saltmarsh-b --json",
    ),
    (
        "forecast-marten-old-json",
        "forecast marten --paper saltmarsh-old --json",
    ),
    (
        "forecast-teasel-a-json",
        "forecast teasel --paper saltmarsh-a --json",
    ),
    (
        "forecast-teasel-b-json",
        "forecast teasel --paper saltmarsh-b --json",
    ),
    (
        "forecast-teasel-old",
        "forecast teasel --paper saltmarsh-old",
    ),
    (
        "forecast-teasel-old-json",
        "forecast teasel --paper saltmarsh-old --json",
    ),
    ("paper-list", "paper list"),
    ("paper-list-json", "paper list --json"),
    (
        "mark-was-json",
        "mark sessions --key @a.key --was @a.key --json",
    ),
    (
        "paper-check",
        "paper check @a.paper @a.key @b.paper @b.key @old.paper @old.key",
    ),
];

/// A page for each old sitting, with and without workings, and the tutor's list of a group.
pub(crate) fn feedback() -> Vec<Case> {
    let mut cases = vec![Case::of(&(
        "feedback-group",
        "feedback @lapwing-a @marten-a @teasel-a --key @a.key --group pages => pages/index.html",
    ))];
    cases.push(Case::of(&(
        "feedback-parents",
        "feedback @teasel-a --key @a.key --for parents --sentence Well-left. -o parents.html => parents.html",
    )));
    cases.push(Case::of(&(
        "feedback-joined",
        "feedback lapwing marten --key @a.key --key @b.key --key @old.key --join --for parents -o all.html => all.html",
    )));
    for pupil in ["lapwing", "marten", "teasel"] {
        for paper in ["a", "b", "old"] {
            let name = format!("feedback-{pupil}-{paper}");
            let words = format!("feedback @{pupil}-{paper} --key @{paper}.key");
            cases.push(Case::of(&(
                &format!("{name}-working"),
                &format!("{words} --with-working"),
            )));
            cases.push(Case::of(&(&name, &words)));
        }
    }
    cases
}
