# Gray's test by its author's package.
source("helpers/record.R")
suppressMessages(library(cmprsk))

test <- function(data) {
  tests <- with(data, cuminc(exit, event, group, if (is.null(data$stratum)) rep(1, nrow(data)) else stratum))$Tests
  lapply(seq_len(nrow(tests)), function(k) list(cause = as.numeric(rownames(tests)[k]), chisq = tests[k, "stat"], p = tests[k, "pv"], df = tests[k, "df"]))
}

# Scrucca, Santucci & Aversa 2007, Bone Marrow Transplant 40:381: the 35 patients in print
rows <- c("13/2 1/1 72/0 7/2 8/2 9/2 5/2 1/2 22/2 0/2 0/1 35/0 4/2 14/2 26/2 3/2 12/1",
          "67/0 70/0 4/0 7/0 68/0 10/2 7/2 3/1 4/1 4/1 3/1 3/1 8/1 2/2 35/0 2/0 8/0 32/0")
transplant <- do.call(rbind, lapply(1:2, function(g) {
  pairs <- do.call(rbind, strsplit(strsplit(rows[g], " ")[[1]], "/"))
  data.frame(exit = as.numeric(pairs[, 1]), event = as.numeric(pairs[, 2]), group = g - 1)
}))
mgus <- with(mgus2[!is.na(mgus2$mspike), ], data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death),
                                                       group = findInterval(mspike, c(0.5, 1, 1.5)), stratum = as.numeric(sex) - 1))

set.seed(42)
n <- 300
ties <- data.frame(exit = sample(0:8, n, replace = TRUE), event = sample(0:3, n, replace = TRUE, prob = c(4, 2, 2, 1)),
                   group = sample(0:2, n, replace = TRUE, prob = c(5, 3, 1)), stratum = sample(0:3, n, replace = TRUE))
# One group leaves early, another dies out
uneven <- data.frame(exit = c(1, 2, 2, 3, 3, 3, 4, 5, 6, 7, 7, 8, 9, 9, 10), event = c(1, 1, 2, 0, 1, 2, 2, 1, 0, 1, 2, 1, 1, 0, 0),
                     group = c(0, 0, 1, 0, 1, 2, 1, 2, 1, 2, 2, 1, 2, 1, 2))

cases <- list(
  list(name = "transplants in print", input = transplant),
  list(name = "mgus2 by M-spike", input = mgus[c("exit", "event", "group")]),
  list(name = "mgus2 by M-spike, stratified by sex", input = mgus),
  list(name = "three causes, three groups, many ties", input = ties[c("exit", "event", "group")]),
  list(name = "three causes, three groups, many ties, four strata", input = ties),
  list(name = "groups that end at different times", input = uneven)
)
for (k in seq_along(cases)) cases[[k]]$expected <- test(cases[[k]]$input)
record("cuminc(exit, event, group, stratum)$Tests", cases, c("survival", "cmprsk"))
