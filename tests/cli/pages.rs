//! What the pages for developers say and the program knows: written by the program, held against
//! what is committed. `HANDLAMP_BLESS=1` writes it anew.

use std::fs;
use std::path::{Path, PathBuf};

use clap::{Arg, Command, CommandFactory};
use handlamp::assess::dwell::Dwells;
use handlamp::assess::words::Severity;
use handlamp::boat::{Unit, Waters};
use handlamp::checklist::{EffectKind, Kind};
use handlamp::keys::{Action, Context, ROWS};
use handlamp::logbook::record::Record;
use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Holds a part of a page against what the program says. The part stands between
/// `<!-- name: begin -->` and `<!-- name: end -->`.
fn hold(page: &str, name: &str, made: &[String]) {
    let path = root().join(page);
    let text = fs::read_to_string(&path)
        .expect("the page")
        .replace('\r', "");
    let (begin, end) = (
        format!("<!-- {name}: begin -->\n"),
        format!("<!-- {name}: end -->"),
    );
    let (before, rest) = text.split_once(&begin).expect("the part begins");
    let (committed, after) = rest.split_once(&end).expect("the part ends");
    let made = format!("\n{}\n\n", made.join("\n"));
    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        let anew = format!("{before}{begin}{made}{end}{after}");
        fs::write(&path, anew).expect("written");
        return;
    }
    assert_eq!(
        committed, made,
        "HANDLAMP_BLESS=1 rewrites {name} in {page}"
    );
}

/// A table of Markdown.
fn table(heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> Vec<String> {
    let line = |cells: &[String]| {
        let cells: Vec<_> = cells.iter().map(|cell| cell.replace('|', "\\|")).collect();
        format!("| {} |", cells.join(" | "))
    };
    let heads: Vec<_> = heads.iter().map(ToString::to_string).collect();
    let rule = format!("|{}", "---|".repeat(heads.len()));
    let rows = rows.into_iter().map(|cells| line(&cells));
    [line(&heads), rule].into_iter().chain(rows).collect()
}

fn code(text: impl std::fmt::Display) -> String {
    format!("`{text}`")
}

#[test]
fn the_commands_are_those_of_the_program() {
    let cli = handlamp::cli::Cli::command();
    let mut rows = Vec::new();
    commands(&cli, "", &mut rows);
    let mut made = table(&["command", "does"], rows);
    made.push(String::new());
    let every = cli.get_arguments().filter(|arg| arg.is_global_set());
    let every = every.map(|arg| {
        vec![
            code(usage(arg).trim_matches(['[', ']'])),
            one_line(arg.get_help().map(ToString::to_string)),
        ]
    });
    made.extend(table(&["with every command", "does"], every));
    made.push(String::new());
    let after = cli.get_after_help().expect("exit codes").to_string();
    made.push(after);
    hold("src/cli/COMMANDS.md", "commands", &made);
}

/// Every table of an export with every column; and what names what, for PostgreSQL.
#[test]
fn the_tables_are_those_of_an_export() {
    let tables = handlamp::cli::schema::tables();
    let mut made = Vec::new();
    for table in &tables {
        made.push(format!("### `{}`", table.name));
        made.push(String::new());
        made.push(table.row.trim().to_owned());
        made.push(match table.key {
            [] => "Key: `boat`.".to_owned(),
            columns => {
                let columns: Vec<String> = columns.iter().map(code).collect();
                format!("Key: `boat`, `key`; `key` is of {}.", columns.join(", "))
            }
        });
        made.push(String::new());
        let rows = table.all_columns().map(|column| {
            let other = match column.name {
                "boat" if !table.key.is_empty() => Some("boats"),
                name => table.named_by(name),
            };
            let null = if column.null { ", or null" } else { "" };
            vec![
                code(column.name),
                format!("{}{null}", column.sql),
                other.map_or_else(String::new, code),
                column.meaning.trim().to_owned(),
            ]
        });
        made.extend(table_of_columns(rows));
        made.push(String::new());
    }
    made.pop();
    hold("src/cli/logbook/TABLES.md", "tables", &made);
    let named = handlamp::cli::schema::references();
    let path = root().join("assets/fleet/postgresql/references.sql");
    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(&path, &named).expect("written");
    }
    let committed = fs::read_to_string(&path).expect("it is committed");
    assert_eq!(committed, named, "HANDLAMP_BLESS=1 rewrites it");
}

fn table_of_columns(rows: impl IntoIterator<Item = Vec<String>>) -> Vec<String> {
    table(&["column", "type", "a row of", "holds"], rows)
}

/// The command and those below it, each with how it is called.
fn commands(command: &Command, above: &str, rows: &mut Vec<Vec<String>>) {
    let own = command.get_arguments().filter(|arg| {
        !arg.is_global_set()
            && !arg.is_hide_set()
            && !matches!(arg.get_id().as_str(), "help" | "version")
    });
    let (mut places, options): (Vec<_>, Vec<_>) = own.partition(|arg| arg.is_positional());
    places.sort_by_key(|arg| arg.get_index());
    let words = places.into_iter().chain(options).map(usage);
    let name = format!("{above} {}", command.get_name());
    let name = name
        .trim_start()
        .trim_start_matches("handlamp")
        .trim_start();
    if !command.is_subcommand_required_set() && !name.is_empty() {
        let called: Vec<_> = [name.to_owned()].into_iter().chain(words).collect();
        let long = command.get_long_about().or_else(|| command.get_about());
        rows.push(vec![
            code(called.join(" ")),
            one_line(long.map(ToString::to_string)),
        ]);
    }
    for below in command.get_subcommands() {
        commands(below, name, rows);
    }
}

/// An argument as a line of usage shows it.
fn usage(arg: &Arg) -> String {
    let values: Vec<String> = arg
        .get_possible_values()
        .iter()
        .map(|v| v.get_name().to_owned())
        .collect();
    let names = arg.get_value_names().unwrap_or_default();
    let value = match (values.is_empty(), names.first()) {
        (true, Some(name)) => name.to_string(),
        (true, None) => arg.get_id().as_str().to_uppercase(),
        (false, _) => values.join("|"),
    };
    let many = arg.get_num_args().is_some_and(|n| n.max_values() > 1)
        || matches!(arg.get_action(), clap::ArgAction::Append);
    let dots = if many { "..." } else { "" };
    let text = match arg.get_long() {
        Some(long) if arg.get_action().takes_values() => format!("--{long} {value}{dots}"),
        Some(long) => format!("--{long}"),
        None => format!("{value}{dots}"),
    };
    if arg.is_required_set() {
        text
    } else {
        format!("[{text}]")
    }
}

fn one_line(text: Option<String>) -> String {
    let text = text.unwrap_or_default();
    let parts = text.split("\n\n").map(|part| part.replace('\n', " "));
    let parts = parts.map(|part| part.trim_end_matches('.').to_owned());
    parts.collect::<Vec<_>>().join(". ")
}

#[test]
fn the_answers_are_those_of_the_schemas() {
    let rows = handlamp::cli::schema::outputs()
        .into_iter()
        .map(|(name, text)| {
            let schema: Value = serde_json::from_str(&text).expect("JSON");
            let fields = fields(&schema, &schema, &mut Vec::new());
            vec![code(name), code(fields.trim_matches(['{', '}']))]
        });
    hold(
        "src/cli/COMMANDS.md",
        "answers",
        &table(&["name", "fields"], rows),
    );
}

/// The fields below a schema: `{a, b?}` for an object, `[..]` for a list, nothing for a plain
/// value; `?` after what may be absent.
fn fields(root: &Value, schema: &Value, above: &mut Vec<String>) -> String {
    if let Some(place) = schema["$ref"].as_str() {
        let name = place.trim_start_matches("#/$defs/").to_owned();
        if above.contains(&name) {
            return "{..}".to_owned();
        }
        above.push(name);
        let below = fields(root, &root["$defs"][&above[above.len() - 1]], above);
        above.pop();
        return below;
    }
    let kinds = ["oneOf", "anyOf"]
        .iter()
        .find_map(|word| schema[*word].as_array());
    if let Some(kinds) = kinds {
        let kinds = kinds.iter().map(|kind| fields(root, kind, above));
        let mut kinds: Vec<_> = kinds.filter(|kind| !kind.is_empty()).collect();
        kinds.dedup();
        return kinds.join(" or ");
    }
    if let Some(items) = schema.get("items") {
        return format!("[{}]", fields(root, items, above));
    }
    let Some(properties) = schema["properties"].as_object() else {
        return String::new();
    };
    let required = schema["required"].as_array();
    let needed = |name: &str| required.is_some_and(|all| all.iter().any(|n| n == name));
    let named = properties.iter().filter(|(name, _)| {
        !(std::ptr::eq(root, schema) && matches!(name.as_str(), "schema" | "not_counted"))
    });
    let named = named.map(|(name, field)| {
        let mark = if needed(name) { "" } else { "?" };
        let below = fields(root, field, above);
        format!("{name}{mark} {below}").trim_end().to_owned()
    });
    format!("{{{}}}", named.collect::<Vec<_>>().join(", "))
}

#[test]
fn the_keys_are_those_of_the_table() {
    let rows = ROWS.iter().map(|row| {
        let contexts = match row.contexts.len() == Context::ALL.len() {
            true => "everywhere".to_owned(),
            false => row
                .contexts
                .iter()
                .map(|c| c.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        };
        let keys = row.keys.iter().map(code).collect::<Vec<_>>().join(" ");
        vec![code(row.action), keys, contexts, row.help.to_owned()]
    });
    hold(
        "src/keys/KEYS.md",
        "keys",
        &table(&["action", "keys", "where", "does"], rows),
    );
}

/// A key as the handbook for the user spells it.
fn spelled(key: &str) -> String {
    match key {
        "up" | "down" => "arrows".to_owned(),
        "pgup" => "Page Up".to_owned(),
        "pgdn" => "Page Down".to_owned(),
        key if key.chars().count() == 1 => code(key),
        key => {
            let part = |part: &str| {
                let mut letters = part.chars();
                let first = letters.next().into_iter().flat_map(char::to_uppercase);
                first.chain(letters).collect::<String>()
            };
            key.split('-').map(part).collect::<Vec<_>>().join("-")
        }
    }
}

/// The table for the user is written by hand: it names no key that there is not, and every action that
/// the last lines of a screen show.
#[test]
fn the_readme_names_the_keys_that_there_are() {
    let text = fs::read_to_string(root().join("README.md")).expect("the page");
    let (_, rest) = text.split_once("| where | keys |").expect("the table");
    let (told, _) = rest.split_once("\n\n").expect("its end");
    let of_table: Vec<&str> = ROWS.iter().flat_map(|row| row.keys).copied().collect();
    let quoted = told.split('`').skip(1).step_by(2);
    for key in quoted {
        assert!(of_table.contains(&key), "no key '{key}'");
    }
    // The lines of a list are named by their first and their last.
    let between = |action: Action| (Action::Pick2..Action::Pick9).contains(&action);
    let shown = ROWS.iter().filter(|row| !row.label.is_empty());
    for row in shown.filter(|row| !between(row.action)) {
        let mut keys = row.keys.iter();
        let named = keys.any(|key| told.contains(&spelled(key)));
        assert!(named, "nothing said of {}: {:?}", row.action, row.keys);
    }
}

#[test]
fn the_spellings_are_those_of_the_enums() {
    let mut files = Vec::new();
    below(&root().join("src"), "rs", &mut files);
    files.sort();
    let mut rows = Vec::new();
    for file in files {
        let text = fs::read_to_string(&file).expect("a source");
        for block in text.split("\nwords! {\n").skip(1) {
            let block = block.split("\n}\n").next().expect("an end");
            let head = block.lines().map(str::trim).find(|l| !l.starts_with("///"));
            let head = head.expect("a name");
            let what = head.split('"').nth(1).expect("what it is");
            let body = block.lines().filter(|l| l.contains(" = \""));
            let words: Vec<_> = body.filter_map(|l| l.split('"').nth(1)).collect();
            let plain = |word: &&str| !word.contains([' ', 'A', 'E', 'M', 'P', 'W']);
            // The actions have a page of their own, and headings are no words of any file.
            if what == "action" || !words.iter().all(plain) {
                continue;
            }
            let room = file.strip_prefix(root().join("src")).expect("below src");
            let room = room.iter().next().expect("a room");
            let room = room.to_string_lossy().into_owned();
            let words = words.iter().map(code).collect::<Vec<_>>().join(" ");
            rows.push(vec![what.to_owned(), words, code(room)]);
        }
    }
    rows.sort_by(|a, b| (&a[2], &a[0]).cmp(&(&b[2], &b[0])));
    assert!(rows.len() > 30, "the enums are not where they were");
    let mut made = table(&["of", "spellings", "in"], rows);
    made.push(String::new());
    let mut units: Vec<(String, Vec<String>)> = Vec::new();
    for unit in Unit::ALL {
        let of = serde_json::to_value(unit.quantity()).expect("a word");
        let of = of.as_str().expect("a word").to_owned();
        match units.iter_mut().find(|(known, _)| *known == of) {
            Some((_, known)) => known.push(code(unit.as_str())),
            None => units.push((of, vec![code(unit.as_str())])),
        }
    }
    let units = units
        .into_iter()
        .map(|(of, units)| vec![code(of), units.join(" ")]);
    made.extend(table(&["quantity", "units"], units));
    hold("src/text/SPELLINGS.md", "spellings", &made);
}

/// The page says of every record which fields it has: what is on record in the kept logbooks is
/// named, and no event is missing or made up.
#[test]
fn the_records_are_those_of_the_log() {
    let page = fs::read_to_string(root().join("src/logbook/FORMAT.md")).expect("the page");
    let (_, rows) = page.split_once("| event | ").expect("the table");
    let rows = rows
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with("| "));
    let rows: Vec<(&str, &str)> = rows
        .map(|row| {
            let mut cells = row.split('`');
            let name = cells.nth(1).expect("a name");
            (name, cells.nth(1).expect("its fields"))
        })
        .collect();
    let mut named: Vec<_> = rows.iter().map(|(name, _)| *name).collect();
    let mut known: Vec<_> = Record::KINDS.iter().map(|kind| kind.name).collect();
    named.sort_unstable();
    known.sort_unstable();
    assert_eq!(named, known);
    let mut files = Vec::new();
    below(&root().join("tests/hostile/corpus"), "jsonl", &mut files);
    let mut held = 0;
    for file in files {
        let text = fs::read_to_string(&file).expect("a log");
        for line in text.lines() {
            let Ok(line) = serde_json::from_str::<Value>(line) else {
                continue;
            };
            // A profile has its fields in the answers.
            let row = rows
                .iter()
                .find(|(name, _)| line["ev"] == *name && *name != "boat");
            let Some(((name, fields), rec)) = row.zip(line["rec"].as_object()) else {
                continue;
            };
            let words: Vec<_> = fields
                .split(|c: char| !c.is_alphanumeric() && c != '_')
                .collect();
            for field in rec.keys() {
                assert!(
                    words.contains(&field.as_str()),
                    "{field} of {name} is not on the page"
                );
                held += 1;
            }
        }
    }
    assert!(held > 100, "{held} fields only");
}

/// The files in a folder, at any depth, with this ending.
fn below(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            below(&path, ending, found);
        } else if path.extension().is_some_and(|has| has == ending) {
            found.push(path);
        }
    }
}

#[test]
fn the_figures_of_the_method_are_those_it_reckons_with() {
    let dwells = Dwells::judgement();
    let rows = Kind::ALL.iter().filter_map(|kind| {
        let dwell = dwells.of(*kind)?;
        let means = dwell.means().iter().map(ToString::to_string);
        let first = [kind.to_string(), dwell.standing().to_string()];
        Some(first.into_iter().chain(means).collect())
    });
    let heads = ["kind", "s", "m0", "m1", "m2", "m3"];
    hold("src/assess/METHOD.md", "dwells", &table(&heads, rows));
    let heads: Vec<_> = ["effect"]
        .into_iter()
        .chain(Waters::ALL.iter().map(|w| w.as_str()))
        .collect();
    let rows = EffectKind::ALL.iter().map(|effect| {
        let of = Waters::ALL
            .iter()
            .map(|waters| Severity::of(*effect, *waters));
        let of = of.map(|severity| serde_json::to_string(&severity).expect("a digit"));
        [effect.to_string()].into_iter().chain(of).collect()
    });
    hold("src/assess/METHOD.md", "severities", &table(&heads, rows));
}
