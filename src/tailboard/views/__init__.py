"""What a reader sees, ready for JSON: words chosen and numbers worded once, whatever face shows them."""
