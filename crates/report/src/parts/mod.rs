//! Pieces of a page that several documents share.

pub(crate) mod body;
pub(crate) mod cautions_list;
pub(crate) mod check_list;
pub(crate) mod composition;
pub(crate) mod drawing_key;
pub(crate) mod identity_table;
pub(crate) mod paper_figure;
