# The whole sensitivity panel of two comparisons of glenoid components on the sample extract, from its CSV files: every line's procedures,
# events and ratios with robust limits; what the lines say together; E-values (VanderWeele & Ding 2017, Ann Intern Med 167:268).
source("helpers/record.R")
source("helpers/sampleComparisons.R")
source("helpers/subdistribution.R")

panel <- function(comparison) {
  groups <- comparison$groups; adjust <- comparison$adjust; strata <- comparison$strata; horizon <- comparison$horizon
  cohort <- cohortOf(comparison)

  fit <- function(data, covariates = adjust, by = strata, competing = FALSE) {
    data <- data[complete.cases(data[column[covariates]]), ]
    data$group <- droplevels(data$group)
    varying <- Filter(function(v) length(unique(data[[v]])) > 1, column[covariates])
    for (v in Filter(function(v) !is.numeric(data[[v]]), varying)) data[[v]] <- relevel(droplevels(factor(data[[v]])), names(which.max(table(data[[v]]))))
    response <- if (competing) "Surv(start, stop, status) ~ group" else "Surv(entry, exit, revised) ~ group"
    formula <- as.formula(paste(c(response, varying, if (length(by)) paste0("strata(", paste(by, collapse = ", "), ")")), collapse = " + "))
    rows <- if (competing) lingering(data, data$group) else transform(data, weight = 1)
    model <- suppressWarnings(if (competing) coxph(formula, data = rows, weights = weight, cluster = cluster, control = exact)
                              else coxph(formula, data = rows, cluster = cluster, control = exact))
    at <- seq_len(nlevels(data$group) - 1)
    coefficient <- coef(model)[at]
    se <- sqrt(diag(vcov(model)))[at]
    events <- tapply(data$revised, data$group, sum)[-1]
    ratio <- exp(unname(coefficient + outer(se, c(0, -1, 1) * qnorm(0.975))))
    ratio[events == 0, ] <- NA
    p <- unname(2 * pnorm(-abs(coefficient / se)))
    p[events == 0] <- NA
    list(level = I(levels(data$group)[-1]), procedures = nrow(data), events = sum(data$revised), ratio = ratio, p = I(p),
         ofGroup = list(procedures = I(c(unname(table(data$group)))[-1]), events = I(unname(c(events)))))
  }

  half <- sort(cohort$year)[ceiling(nrow(cohort) / 2)]
  largest <- vapply(split(cohort$hospital_id, cohort$group), function(h) names(which.max(table(h))), "") # of several the first
  frequent <- names(sort(table(cohort$indication), decreasing = TRUE))[1:3]
  sets <- list(c("age", "sex"), c("age", "sex", "indication"), c("age", "sex", "indication", "period"),
               c("age", "sex", "indication", "asa", "bmi"), c("age", "sex", "indication", "asa", "bmi", "period"))
  sets <- unique(lapply(sets, setdiff, strata))
  sets <- Filter(function(set) !setequal(set, adjust), sets)
  complete <- cohort[complete.cases(cohort[column[adjust]]), ]
  lines <- c(
    list(asked = fit(cohort), unadjusted = fit(complete, character(0), character(0))),
    setNames(lapply(sets, function(set) fit(cohort, set)), vapply(sets, function(set) paste(c("adjusted", set), collapse = "-"), "")),
    list("within-hospital" = fit(cohort, by = c(strata, "hospital_id")), "within-surgeon" = fit(cohort, by = c(strata, "surgeon_id"))),
    setNames(lapply(frequent, function(one) fit(cohort[cohort$indication == one, ])), paste0("indication-", frequent)),
    list(firstJoint = fit(cohort[cohort$firstJoint, ])),
    if ("metal_backed" %in% groups) list(metalBacked = fit(cohort[cohort$design != "metal_backed", ])),
    list(newModels = fit(cohort[!cohort$learning, ]), largestUser = fit(cohort[!cohort$hospital_id %in% largest, ]),
         earlier = fit(cohort[cohort$year <= half, ]), later = fit(cohort[cohort$year > half, ]),
         major = fit(transform(cohort, revised = as.numeric(revised == 1 & kind == "major"))),
         death = fit(cohort, competing = TRUE)))

  first <- lines$asked
  lines <- lapply(lines, function(line) c(line, list(
    fewer = list(procedures = first$procedures - line$procedures, events = first$events - line$events),
    shift = I(line$ratio[, 1] / first$ratio[match(line$level, first$level), 1]))))

  # What the lines say together, and E-values by whether at most 15 % are revised
  asked <- lines$asked$ratio
  curves <- survfit(Surv(entry, exit, revised) ~ group, data = cohort)
  atEnd <- summary(curves, times = horizon)
  stopifnot(atEnd$n.risk >= 50)
  common <- any(1 - atEnd$surv >= 0.15)
  eValue <- function(hr) {
    hr <- max(hr, 1 / hr)
    rr <- if (common) (1 - 0.5^sqrt(hr)) / (1 - 0.5^sqrt(1 / hr)) else hr
    rr + sqrt(rr * (rr - 1))
  }
  together <- lapply(seq_along(groups[-1]), function(g) {
    estimates <- do.call(rbind, lapply(lines, function(line) line$ratio[match(groups[g + 1], line$level), ]))
    estimates <- estimates[complete.cases(estimates), , drop = FALSE]
    same <- sign(estimates[, 1] - 1) == sign(asked[g, 1] - 1)
    nearer <- if (asked[g, 1] > 1) asked[g, 2] else asked[g, 3]
    list(group = groups[g + 1], estimated = nrow(estimates), range = range(estimates[, 1]), sameSide = sum(same),
         clear = sum(same & (estimates[, 2] > 1 | estimates[, 3] < 1)),
         eValue = c(eValue(asked[g, 1]), if ((nearer - 1) * (asked[g, 1] - 1) > 0) eValue(nearer) else 1))
  })
  list(name = comparison$name, input = inputOf(comparison),
       expected = list(medianYear = half, frequency = if (common) "common" else "rare", lines = lines, together = together))
}

# The weights by hand and finegray's agree where all are one group
check <- upTo(shoulders[shoulders$class == "anatomic_total" & shoulders$design %in% c("all_poly_pegged", "all_poly_keeled") & shoulders$year > 2010, ], 2557)
check$keeled <- as.numeric(check$design == "all_poly_keeled")
check$id <- seq_len(nrow(check))
check$state <- factor(ifelse(check$event == 1, 1, ifelse(check$event == 0, 0, 2)), 0:2)
theirs <- finegray(Surv(entry, exit, state) ~ keeled, data = check, id = id, etype = "1")
theirs <- coxph(Surv(fgstart, fgstop, fgstatus) ~ keeled, data = theirs, weights = fgwt, control = exact)
ours <- coxph(Surv(start, stop, status) ~ keeled, data = lingering(check, rep(1, nrow(check))), weights = weight, control = exact)
stopifnot(abs(coef(ours) - coef(theirs)) < 1e-9)

record("coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster); finegray", lapply(comparisons, panel))
