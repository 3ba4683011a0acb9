# Completeness, linkage, index of follow-up, expected revisions and exact limits of the sample extract, from its CSV files.
source("helpers/record.R")
source("helpers/sampleProcedures.R")
suppressPackageStartupMessages(library(survival))

# Completeness: kept procedures by field, by year and by hospital
procedures$year <- as.integer(substr(procedures$procedure_date, 1, 4))
fields <- c("asa_grade", "bmi", "approach", "proximal_fixation", "distal_fixation")
hospitals <- sort(unique(procedures$hospital_id)); years <- sort(unique(procedures$year))
byField <- function(field) {
  there <- !is.na(procedures[[field]])
  list(field = field, recorded = sum(there), byYear = as.vector(tapply(there, procedures$year, sum)), byHospital = as.vector(tapply(there, procedures$hospital_id, sum)[hospitals]))
}

# Linkage: every re-operation of the file, whatever its kind
all <- extractTable("revisions")
named <- match(all$procedure_id, procedures$procedure_id)
named[is.na(all$procedure_id)] <- match(side(all), side(procedures))[is.na(all$procedure_id)]
all$day <- day(all$revision_date)
kept <- !is.na(named) & all$day >= procedures$day[named] & (is.na(procedures$death[named]) | all$day <= procedures$death[named])
linked <- cbind(all, named)[kept, ]
change <- linked[linked$kind != "reoperation", ]
change <- change[order(change$day, change$kind), ]
linkage <- list(read = nrow(all), linked = nrow(linked), byId = sum(!is.na(linked$procedure_id)), bySide = sum(is.na(linked$procedure_id)),
  first = sum(!duplicated(change$named)), later = sum(duplicated(change$named)), noChange = sum(linked$kind == "reoperation"),
  noPrimary = sum(is.na(named)), beforePrimary = sum(!is.na(named) & all$day < procedures$day[named]))

# Index of completeness of follow-up: Clark, Altman & De Stavola 2002, Lancet 359:1309
lost <- procedures$event == 0 & procedures$day + procedures$exit < closing
observed <- procedures$exit - procedures$entry
potential <- ifelse(lost, closing - procedures$day, procedures$exit) - procedures$entry
perYear <- function(values) as.vector(tapply(values, procedures$year, sum))

# Expected revisions of each hospital by the Nelson-Aalen estimate of its joint and class
expected <- numeric(nrow(procedures))
for (rows in split(seq_len(nrow(procedures)), paste(procedures$joint, procedures$class))) {
  own <- procedures[rows, ]
  fit <- survfit(Surv(ifelse(own$entry == 0, -1, own$entry), own$exit, own$event == 1) ~ 1, timefix = FALSE)
  at <- function(t) c(0, fit$cumhaz)[findInterval(t, fit$time) + 1]
  expected[rows] <- at(own$exit) - ifelse(own$entry == 0, 0, at(own$entry))
}

# Exact tests and limits
counts <- data.frame(count = c(0, 1, 5, 12, 99, 1318, 7536, 20, 40), of = c(10, 8, 5, 60, 39985, 39985, 38332, 40, 40), share = c(0.1, 0.02, 0.5, 0.2, 1 / 365.25, 12 / 365.25, 0.2, 0.5, 0.9))
limits <- t(mapply(function(k, n) binom.test(k, n)$conf.int, counts$count, counts$of))

cases <- list(
  list(name = "completeness", input = list(years = years, hospitals = hospitals), expected = lapply(fields, byField)),
  list(name = "linkage", input = list(), expected = linkage),
  list(name = "follow-up", input = list(years = years), expected = list(lost = sum(lost), observed = sum(observed), potential = sum(potential),
    index = 100 * sum(observed) / sum(potential), lostByYear = perYear(lost), observedByYear = perYear(observed), potentialByYear = perYear(potential))),
  list(name = "expected by hospital", input = list(hospitals = hospitals), expected = list(expected = as.vector(tapply(expected, procedures$hospital_id, sum)[hospitals]),
    revised = as.vector(tapply(procedures$event == 1, procedures$hospital_id, sum)[hospitals]))),
  list(name = "exact binomial", input = counts, expected = list(higher = pbinom(counts$count - 1, counts$of, counts$share, lower.tail = FALSE),
    lower = pbinom(counts$count, counts$of, counts$share), from = limits[, 1], to = limits[, 2]))
)
record("read.csv, survfit, pbinom, binom.test", cases, packages = c("survival", "stats"))
