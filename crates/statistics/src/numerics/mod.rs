//! Root finding and quadrature, for the functions of this crate only.

mod gauss_legendre;
mod minimise;
mod root;

pub(crate) use gauss_legendre::integrate;
pub(crate) use minimise::minimise;
pub(crate) use root::{root_between, root_of_falling};
