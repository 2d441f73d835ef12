"""Pictures: one family of SVG for terminal, paper and page. They show what a view says and work nothing out."""
