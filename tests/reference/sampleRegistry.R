# Pegged against keeled all-polyethylene glenoid components in anatomic total shoulders, to ten years, adjusted for age band and sex:
# from the CSV files of the sample extract to estimates, without any of the workbench's own code.
source("helpers/record.R")
source("helpers/sampleProcedures.R")

all <- data.frame(
  patient = procedures$patient_id, procedures[c("entry", "exit", "event")],
  group = factor(procedures$design, c("all_poly_pegged", "all_poly_keeled")),
  age = relevel(cut(procedures$age, c(-Inf, 54, 64, 74, Inf), c("age-0", "age-1", "age-2", "age-3")), "age-2"),
  sex = factor(procedures$sex, c("female", "male")))
# Ten years are 3652.5 days, rounded up
cohort <- upTo(all[procedures$joint == "shoulder" & procedures$class == "anatomic_total" & !is.na(all$group), ], 3653)

years <- c(1, 2, 5, 7, 10)
days <- c(365, 731, 1826, 2557, 3653)
group <- function(name) {
  rows <- cohort[cohort$group == name, ]
  fit <- survfit(Surv(entry, exit, revised) ~ 1, data = rows, conf.type = "log-log")
  at <- summary(fit, times = days)
  time <- sum(rows$exit - pmax(rows$entry, 0)) / 365.25
  list(group = name, procedures = nrow(rows), patients = length(unique(rows$patient)), events = sum(rows$revised), deaths = sum(rows$event == 3),
       componentYears = time,
       rate = 100 / time * c(sum(rows$revised), qchisq(0.025, 2 * sum(rows$revised)) / 2, qchisq(0.975, 2 * sum(rows$revised) + 2) / 2),
       at = lapply(seq_along(years), function(k) list(years = years[k], atRisk = at$n.risk[k], events = sum(rows$revised[rows$exit <= days[k]]),
                   percent = 100 * (1 - c(at$surv[k], at$upper[k], at$lower[k])))))
}

fitted <- function(terms) {
  formula <- as.formula(paste("Surv(entry, exit, revised) ~", terms))
  fit <- coxph(formula, data = cohort, control = exact)
  robust <- coxph(formula, data = cohort, control = exact, cluster = patient)
  limits <- exp(coef(robust) + outer(sqrt(diag(vcov(robust))), c(0, -1, 1) * qnorm(0.975)))
  z <- cox.zph(fit, transform = "km")$table
  list(level = I(sub("^(group|age|sex)", "", names(coef(fit)))), ratio = unname(limits), p = I(unname(2 * pnorm(-abs(coef(robust) / sqrt(diag(vcov(robust))))))),
       zph = list(term = c(head(rownames(z), -1), "global"), chisq = unname(z[, "chisq"]), df = unname(z[, "df"]), p = unname(z[, "p"])))
}

# The group's ratio apart in each period, those of age and sex the same throughout
cuts <- c(183, 731)
split <- survSplit(Surv(entry, exit, revised) ~ ., data = cohort, cut = cuts, episode = "period", start = "entry", end = "exit", event = "revised")
keeled <- function(k) as.numeric(split$group == "all_poly_keeled" & split$period == k)
split$x <- cbind(keeled(1), keeled(2), keeled(3))
periods <- coxph(Surv(entry, exit, revised) ~ x + age + sex, data = split, control = exact, cluster = patient)
inPeriod <- exp(coef(periods)[1:3] + outer(sqrt(diag(vcov(periods)))[1:3], c(0, -1, 1) * qnorm(0.975)))

# The log-rank test with late entry, from its sums over the days of revision
logRank <- Reduce(`+`, lapply(sort(unique(cohort$exit[cohort$revised == 1])), function(t) {
  atRisk <- cohort$entry < t & cohort$exit >= t
  d <- cohort$exit == t & cohort$revised == 1
  n <- sum(atRisk)
  n1 <- sum(atRisk & cohort$group == "all_poly_keeled")
  c(sum(d & cohort$group == "all_poly_keeled") - sum(d) * n1 / n, if (n > 1) sum(d) * (n1 / n) * (1 - n1 / n) * (n - sum(d)) / (n - 1) else 0)
}))
chisq <- logRank[1]^2 / logRank[2]

record("survfit(conf.type = \"log-log\"); coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster = patient); cox.zph; survSplit", list(list(
  name = "pegged against keeled to ten years",
  input = list(version = registry$version),
  expected = list(
    groups = lapply(levels(cohort$group), group),
    logRank = list(chisq = chisq, df = 1, p = pchisq(chisq, 1, lower.tail = FALSE)),
    unadjusted = fitted("group"), adjusted = fitted("group + age + sex"),
    periods = list(ratio = unname(inPeriod))))))
