# Pegged against keeled all-polyethylene glenoid components in anatomic total shoulders, to ten years, adjusted for age band and sex:
# from the CSV files of the sample extract to estimates, without any of the workbench's own code.
source("helpers/record.R")

archive <- "../../sample-registry/extract.zip"
table <- function(name) read.csv(unz(archive, paste0(name, ".csv")), colClasses = "character", na.strings = "")
day <- function(column) as.integer(as.Date(column))
registry <- table("registry")
closing <- day(registry$closing_date)

# Procedures with a possible age and a known class, the first of each key and of each side of a joint, none after the patient's death
procedures <- table("procedures")
procedures$day <- day(procedures$procedure_date)
classes <- c("anatomic_total", "reverse_total", "hemi", "resurfacing", "total_hip", "total_knee", "partial_knee")
age <- as.numeric(procedures$age_years)
procedures <- procedures[age >= 10 & age <= 110 & procedures$class %in% classes, ]
procedures <- procedures[!duplicated(procedures$procedure_id), ]
deaths <- table("deaths")
procedures$death <- day(deaths$death_date)[match(procedures$patient_id, deaths$patient_id)]
procedures <- procedures[is.na(procedures$death) | procedures$day <= procedures$death, ]
side <- function(data) paste(data$patient_id, data$joint, data$side)
procedures <- procedures[order(procedures$day), ]
procedures <- procedures[!duplicated(side(procedures)), ]

# The first revision: linked by the procedure it names or else by patient, joint and side; never before the procedure or after death
revisions <- table("revisions")
revisions <- revisions[revisions$kind %in% c("major", "minor"), ]
named <- match(revisions$procedure_id, procedures$procedure_id)
named[is.na(revisions$procedure_id)] <- match(side(revisions), side(procedures))[is.na(revisions$procedure_id)]
revisions$day <- day(revisions$revision_date)
possible <- !is.na(named) & revisions$day >= procedures$day[named] & revisions$day <= closing
possible <- possible & (is.na(procedures$death[named]) | revisions$day <= procedures$death[named])
first <- tapply(revisions$day[possible], named[possible], min)
procedures$revision <- NA
procedures$revision[as.integer(names(first))] <- first

end <- pmin(procedures$revision, procedures$death, day(procedures$follow_up_end), closing, na.rm = TRUE)
start <- pmax(day(procedures$follow_up_start) - procedures$day, 0, na.rm = TRUE)
exit <- end - procedures$day
event <- ifelse(!is.na(procedures$revision) & procedures$revision == end, 1, ifelse(!is.na(procedures$death) & procedures$death == end, 3, 0))

components <- table("components")
components <- components[components$role == "glenoid" & components$model_code %in% table("models")$model_code, ]
design <- components$design_class[match(procedures$procedure_id, components$procedure_id)]

age <- as.numeric(procedures$age_years)
all <- data.frame(
  patient = procedures$patient_id, entry = start, exit, event,
  group = factor(design, c("all_poly_pegged", "all_poly_keeled")),
  age = relevel(cut(age, c(-Inf, 54, 64, 74, Inf), c("age-0", "age-1", "age-2", "age-3")), "age-2"),
  sex = factor(procedures$sex, c("female", "male")))
cohort <- all[procedures$joint == "shoulder" & procedures$class == "anatomic_total" & !is.na(all$group), ]

# Ten years are 3652.5 days, rounded up; events on the last day count. Those at risk from the start enter before day 0.
horizon <- 3653
cohort <- cohort[cohort$entry < pmin(cohort$exit, horizon) | cohort$entry == 0, ]
cohort$event[cohort$exit > horizon] <- 0
cohort$exit <- pmin(cohort$exit, horizon)
cohort$entry[cohort$entry == 0] <- -1
cohort$revised <- as.numeric(cohort$event == 1)

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
