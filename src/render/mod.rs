//! `Packet` to bytes: PDF, HTML, Markdown, SVG, CSV, JSON.
