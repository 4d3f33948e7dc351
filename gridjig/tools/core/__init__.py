"""What a tool is: pointer and keys in, an outcome out."""
