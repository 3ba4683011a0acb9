# survdiff: the log-rank test of k groups, stratified or not. It knows no delayed entry: there, the score test of coxph on data without ties.
source("helpers/record.R")

test <- function(data) {
  rows <- if (is.null(data$count)) data else expanded(data)
  fit <- if (is.null(rows$stratum)) survdiff(Surv(exit, event == 1) ~ group, data = rows)
         else survdiff(Surv(exit, event == 1) ~ group + strata(stratum), data = rows)
  total <- function(x) if (is.matrix(x)) rowSums(x) else unname(x)
  list(chisq = fit$chisq, df = length(total(fit$obs)) - 1, observed = total(fit$obs), expected = total(fit$exp), variance = fit$var)
}
scoreTest <- function(data) {
  fit <- coxph(Surv(entry, exit, event == 1) ~ factor(group), data = data, ties = "breslow", control = exact)
  list(chisq = fit$score, df = length(coef(fit)))
}
code <- function(x) as.integer(factor(x)) - 1L

leukaemia <- data.frame(exit = c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35,
                                 1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23),
                        event = c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0, rep(1, 21)), group = rep(0:1, each = 21))
amls <- with(aml, data.frame(exit = time, event = status, group = code(x)))
veterans <- with(veteran, data.frame(exit = time, event = status, group = code(celltype)))
lungs <- with(lung[!is.na(lung$ph.ecog) & !is.na(lung$inst), ], data.frame(exit = time, event = status - 1, group = ph.ecog, stratum = inst))
colons <- with(colon[colon$etype == 2, ], data.frame(exit = time, event = status, group = code(rx), stratum = sex))
monthly <- counted(with(colon[colon$etype == 1, ], data.frame(exit = months(time), event = status, group = code(rx), stratum = extent)))
mgus <- with(mgus2, data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death), group = code(sex)))
# ages in days have no tied deaths after this thinning, so the score test and the log-rank test are the same
ages <- with(lung[!is.na(lung$ph.ecog), ], data.frame(entry = round(365.25 * age), exit = round(365.25 * age) + time, event = status - 1, group = pmin(ph.ecog, 2)))
ages <- ages[!duplicated(ages$exit), ]

cases <- lapply(list(
  list(name = "6-MP against placebo (Freireich et al. 1963)", input = leukaemia),
  list(name = "aml", input = amls),
  list(name = "veteran, four cell types", input = veterans),
  list(name = "lung, four performance scores, institutions as strata", input = lungs),
  list(name = "colon deaths, three arms, sex as stratum", input = colons),
  list(name = "colon recurrence in months, counted cells, extent as stratum", input = monthly),
  list(name = "mgus2, death competes", input = mgus)
), function(case) c(case, list(expected = test(case$input))))
cases <- c(cases, list(list(name = "lung on the scale of age, delayed entry, no ties", input = ages, expected = scoreTest(ages))))
record("survdiff(Surv(exit, event == 1) ~ group + strata(stratum)); with delayed entry coxph(Surv(entry, exit, event == 1) ~ factor(group))$score, control = coxph.control(eps = 1e-14, iter.max = 100)", cases)
