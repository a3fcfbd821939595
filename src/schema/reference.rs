//! The language reference, printed from the table.

/// The reference: an overview, or all about one head or word.
pub fn words(head: Option<&str>) -> Option<String> {
    let _ = head;
    None
}
