"""The markup of zipped workbooks: what the eye sees beside the values."""
