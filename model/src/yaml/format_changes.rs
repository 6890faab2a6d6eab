//! Reading the changes between formats of a packaging line: `format_pairs: [{from: keg, to: [cask, can], takes: 40 min}]`, or
//! `never: yes` in place of the time.

use super::brewplan::format_of;
use super::cellar::Cellar;
use super::node::Node;
use super::words;
use crate::case::{Format, FormatPair};
use crate::ids::{FormatId, LineId};

/// Gives the lines their changes between formats, now that the formats are known by name.
pub fn resolve<'a>(cellar: &mut Cellar<'a>) {
    for (id, node) in std::mem::take(&mut cellar.format_pairs) {
        let Some(line) = cellar.lines.get_mut(id.0) else { continue };
        for pair in node.items(false) {
            let Some(fields) = pair.fields() else { continue };
            let (from, to) = (fields.required("from"), fields.required("to"));
            let takes = words::takes_or_never(&fields, "V539", "format_pairs");
            fields.finish();
            let (Some(from), Some(to), Some(takes)) = (from, to, takes) else { continue };
            let known = |node: Node<'a>| of_line(&node, id, &cellar.formats).map(|format| (node, format));
            let before: Vec<(Node, FormatId)> = from.items(true).into_iter().filter_map(known).collect();
            let after: Vec<(Node, FormatId)> = to.items(true).into_iter().filter_map(known).collect();
            for &(_, from) in &before {
                for &(ref node, to) in &after {
                    if from == to || line.format_pair(from, to).is_some() {
                        node.error("V537", "two different formats, each ordered pair once", None);
                        continue;
                    }
                    line.format_pairs.push(FormatPair { from, to, takes });
                }
            }
        }
    }
}

/// A format by name that the line packages.
fn of_line(node: &Node, line: LineId, formats: &[Format]) -> Option<FormatId> {
    let found = format_of(node, formats)?;
    if formats[found.0].line == line {
        return Some(found);
    }
    let own = formats.iter().filter(|format| format.line == line);
    let own: Vec<&str> = own.map(|format| format.name.as_str()).collect();
    node.error("V538", &format!("one of the formats of the line: {}", own.join(", ")), None);
    None
}
