"""kettlemark: records, arithmetic and data sheets for small-batch makers of finishes."""
