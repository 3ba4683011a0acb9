# Every script writes one fixture: what made it, and cases of input and expected values. Its first argument is the file to write.
suppressMessages({ library(survival); library(jsonlite) })

record <- function(call, cases, packages = "survival") {
  versions <- sapply(packages, function(p) as.character(packageVersion(p)))
  content <- list(r = R.version.string, packages = as.list(versions), call = call, cases = cases)
  write_json(content, commandArgs(TRUE)[1], digits = NA, auto_unbox = TRUE, dataframe = "columns", na = "null", matrix = "rowmajor")
}

# Fits to the last digits rather than to R's usual tolerance
exact <- suppressWarnings(coxph.control(eps = 1e-14, iter.max = 100)) # R would like its pivots' tolerance below eps

# Days to whole months of follow-up, so that many procedures share a cell
months <- function(days) ceiling(days / 30)

# One row per distinct combination, with how many there are; all columns numeric
counted <- function(data) {
  tally <- aggregate(list(count = rep(1, nrow(data))), by = data, FUN = sum)
  tally[do.call(order, tally), ]
}
expanded <- function(cells) cells[rep(seq_len(nrow(cells)), cells$count), ]
