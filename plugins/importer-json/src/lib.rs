//! importer-json
