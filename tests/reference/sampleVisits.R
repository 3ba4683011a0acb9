# Follow-up visits of the sample extract, from its CSV files: humeral components of shoulders compared in what is seen, in scores and in revision.
source("helpers/record.R")
source("helpers/sampleProcedures.R")
source("helpers/slowTurnbull.R")
suppressMessages({ library(MASS); library(sandwich); library(geepack) })

stems <- extractTable("components")
stems <- stems[stems$role == "humeral_stem" & stems$model_code %in% extractTable("models")$model_code, ]
procedures$stem <- stems$design_class[match(procedures$procedure_id, stems$procedure_id)]
procedures$older <- factor(findInterval(procedures$age, c(55, 65, 75)))
shoulders <- procedures[procedures$joint == "shoulder" & (procedures$entry < procedures$exit | procedures$entry == 0), ]
allVisits <- extractTable("followups")
windows <- c(before = 0, "3m" = 91, "1y" = 365, "2y" = 731, "5y" = 1826, "10y" = 3653)
number <- function(v) as.numeric(v)
z <- qnorm(0.975)

wilson <- function(x, n) { p <- x / n; c(p, (p + z^2 / (2 * n) + c(-1, 1) * z * sqrt(p * (1 - p) / n + z^2 / (4 * n^2))) / (1 + z^2 / n)) }
newcombe <- function(a, b) { p <- wilson(a[1], a[2]); q <- wilson(b[1], b[2]); d <- p[1] - q[1]; c(d, d - sqrt((p[1] - p[2])^2 + (q[3] - q[1])^2), d + sqrt((p[3] - p[1])^2 + (q[1] - q[2])^2)) }
# How much larger the variance is than that of as many patients: residuals summed by patient
effect <- function(has, patient) { p <- mean(has); max(1, sum(rowsum(has - p, patient)^2) / (length(has) * p * (1 - p))) }

# `designs` in their order, one of them the reference; `important`: a change of the score by at least so much
compared <- function(name, designs, reference, covariates, cohort, question, important = 30) {
  others <- setdiff(designs, reference); at <- match(others, designs); ref <- match(reference, designs)
  everyone <- cohort
  cohort <- cohort[cohort$procedure_id %in% allVisits$procedure_id, ]
  cohort$group <- factor(cohort$stem, c(reference, others))
  visits <- cbind(allVisits, cohort[match(allVisits$procedure_id, cohort$procedure_id), c("group", "day", "exit", "patient_id", "older", "sex")])
  visits <- visits[!is.na(visits$group), ]
  visits$on <- day(visits$visit_date) - visits$day
  visits <- visits[is.na(visits$on) | visits$on <= visits$exit, ]

  due <- function(window) t(sapply(designs, function(g) {
    own <- cohort[cohort$stem == g, ]; rows <- visits[visits$visit == window & visits$group == g, ]
    c(sum(own$procedure_id %in% rows$procedure_id | own$exit >= windows[[window]]), sum(!is.na(rows$on)), sum(is.na(rows$on)))
  }))
  shares <- function(counts) list(percent = 100 * t(sapply(counts, function(x) wilson(x[1], x[2]))), points = 100 * t(sapply(at, function(k) newcombe(counts[[k]], counts[[ref]]))))
  prevalence <- function(window, column, has) {
    own <- lapply(designs, function(g) visits[visits$visit == window & visits$group == g & !is.na(visits[[column]]), ])
    counts <- lapply(own, function(rows) c(sum(has(rows[[column]])), nrow(rows)))
    both <- Map(function(x, rows) x / effect(as.numeric(has(rows[[column]])), rows$patient_id), counts, own)
    c(list(window = window, counts = do.call(rbind, counts)), shares(counts), list(bothSides = shares(both)))
  }

  # Score at two years, adjusted for the score before and the covariates; patients as clusters
  wide <- function(window, column) number(visits[visits$visit == window, column])[match(cohort$procedure_id, visits$procedure_id[visits$visit == window])]
  cohort$now <- wide("2y", "score_total"); cohort$before <- wide("before", "score_total")
  scored <- cohort[!is.na(cohort$now) & !is.na(cohort$before), ]
  fit <- lm(reformulate(c("group", "before", covariates), "now"), data = scored)
  v <- vcovCL(fit, scored$patient_id, type = "HC1", cadjust = TRUE); clusters <- length(unique(scored$patient_id))
  half <- qt(0.975, clusters - 1) * sqrt(diag(v))
  ancova <- unname(cbind(coef(fit), coef(fit) - half, coef(fit) + half)[1 + seq_along(others), ])
  changes <- lapply(designs, function(g) with(scored[scored$group == g, ], now - before))
  change <- t(sapply(changes, function(d) c(length(d), unlist(t.test(d)[c("estimate", "conf.int")]))))
  gained <- lapply(changes, function(d) c(sum(d >= important), length(d)))
  isDue <- due("2y")[, 1]
  lost <- t(mapply(function(x, n) 100 * c(x[1], x[1] + n - x[2]) / n, gained, isDue))

  # Grades of the tendon at one year, to the digits that polr gives
  tendon <- visits[visits$visit == "1y" & !is.na(visits$tendon), ]
  tendon$grade <- factor(tendon$tendon, c("intact", "attenuated", "torn"))
  graded <- polr(reformulate(c("group", covariates), "grade"), data = tendon, Hess = TRUE, control = list(reltol = 1e-15, maxit = 1000))
  error <- sqrt(diag(vcovCL(graded, tendon$patient_id, type = "HC0", cadjust = FALSE)))[seq_along(others)]
  odds <- signif(exp(coef(graded)[seq_along(others)] + outer(error, c(0, -z, z))), 4)

  # Pain at all visits after the procedure: geepack
  long <- visits[visits$visit != "before" & !is.na(visits$pain), ]
  long$before <- number(visits$pain[visits$visit == "before"])[match(long$procedure_id, visits$procedure_id[visits$visit == "before"])]
  long <- long[!is.na(long$before), ]
  long$visit <- factor(long$visit, names(windows)[-1]); long$pain <- number(long$pain)
  for (g in others) for (w in levels(long$visit)) long[[paste0(g, "_", w)]] <- as.numeric(long$group == g & long$visit == w)
  cells <- paste0("`", outer(others, levels(long$visit), paste, sep = "_"), "`")
  long <- long[order(long$patient_id), ]
  long$id <- match(long$patient_id, unique(long$patient_id))
  marginal <- geeglm(reformulate(c("visit", "before", covariates, cells), "pain"), id = id, data = long, corstr = "exchangeable", control = geese.control(epsilon = 1e-13, maxit = 200))
  place <- match(gsub("`", "", cells), gsub("`", "", names(coef(marginal))))
  error <- sqrt(diag(marginal$geese$vbeta))[place]
  pain <- unname(cbind(coef(marginal)[place], coef(marginal)[place] - z * error, coef(marginal)[place] + z * error))

  # Time to the first sign of bone adaptation, visits at their planned day: survival's estimate, which ends its search early, and the slow one with limits
  first <- t(sapply(split(visits[!is.na(visits$stem_adaptation), ], visits$procedure_id[!is.na(visits$stem_adaptation)]), function(own) {
    own <- own[order(windows[own$visit]), ]; t <- windows[own$visit]; yes <- which(own$stem_adaptation == "yes")
    right <- if (length(yes)) t[yes[1]] else NA; left <- max(c(0, t[own$stem_adaptation == "no" & (is.na(right) | t < right)])); c(left, right)
  }))
  of <- cohort[match(rownames(first), cohort$procedure_id), ]
  turnbull <- lapply(designs, function(g) {
    own <- data.frame(left = first[of$stem == g, 1], right = first[of$stem == g, 2], patient = of$patient_id[of$stem == g])
    fit <- survfit(Surv(ifelse(own$left == 0, NA, own$left), own$right, type = "interval2") ~ 1)
    own$right[is.na(own$right)] <- Inf
    own <- own[order(own$left, own$right), ]; cell <- paste(own$left, own$right); distinct <- !duplicated(cell); count <- rle(cell)$lengths
    slow <- slowLimits(slowTurnbull(own$left[distinct], own$right[distinct], count), count, own$patient)
    list(n = nrow(own), share = round(100 * sapply(windows[3:6], function(d) 1 - c(1, fit$surv)[1 + sum(fit$time <= d)]), 3),
         slow = data.frame(day = slow$to, share = 100 * slow$share, lower = 100 * slow$lower, upper = 100 * slow$upper))
  })

  # Radiolucency and later revision: landmark at two years and the sign as it changes; groups and covariates in the model, patients as clusters
  lines <- visits[!is.na(visits$glenoid_radiolucency) & !is.na(visits$on), ]
  assessed <- tapply(lines$on, lines$procedure_id, min); seen <- with(lines[lines$glenoid_radiolucency != "0", ], tapply(on, procedure_id, min))
  cohort$assessed <- assessed[cohort$procedure_id]; cohort$seen <- seen[cohort$procedure_id]
  cohort$revised <- as.numeric(cohort$event == 1 & cohort$exit <= 5479); cohort$until <- pmin(cohort$exit, 5479)
  ratio <- function(fit) c(exp(coef(fit)["sign"]), exp(coef(fit)["sign"] + c(-1, 1) * z * sqrt(vcov(fit)["sign", "sign"])))
  two <- cohort[cohort$until > 731 & !is.na(cohort$assessed) & cohort$assessed <= 731, ]
  two$sign <- as.numeric(!is.na(two$seen) & two$seen <= 731); two$start <- pmax(731, two$entry)
  landmark <- coxph(reformulate(c("group", covariates, "sign"), "Surv(start, until, revised)"), data = two, cluster = patient_id, control = exact)
  open <- cohort[!is.na(cohort$assessed) & pmax(cohort$assessed, cohort$entry) < cohort$until, ]
  open$start <- pmax(open$assessed, open$entry)
  base <- tmerge(open[c("procedure_id", "patient_id", "group", "older", "sex")], open, id = procedure_id, revised = event(until, revised), tstart = start, tstop = until)
  base <- tmerge(base, open[!is.na(open$seen), ], id = procedure_id, sign = tdc(seen))
  varying <- coxph(reformulate(c("group", covariates, "sign"), "Surv(tstart, tstop, revised)"), data = base, cluster = patient_id, control = exact)

  # Revision of all of them, with visits or without, to ten years
  everyone <- upTo(everyone, 3653); everyone$group <- factor(everyone$stem, c(reference, others))
  byFive <- lapply(designs, function(g) {
    at <- summary(survfit(Surv(entry, exit, revised) ~ 1, data = everyone[everyone$group == g, ], conf.type = "log-log"), times = 1826)
    c(sum(everyone$group == g), 100 * (1 - c(at$surv, at$upper, at$lower)))
  })
  hazard <- coxph(reformulate(c("group", covariates), "Surv(entry, exit, revised)"), data = everyone, cluster = patient_id, control = exact)
  hazards <- exp(coef(hazard) + outer(sqrt(diag(vcov(hazard))), c(0, -z, z)))[seq_along(others), , drop = FALSE]

  list(name = name, input = list(version = registry$version, important = important, question = c(question, list(reference = reference))), expected = list(
    groups = unname(c(table(factor(cohort$stem, designs)))), due = lapply(names(windows), function(w) list(window = w, counts = unname(due(w)))),
    adaptation = lapply(c("1y", "2y", "5y", "10y"), prevalence, "stem_adaptation", function(v) v == "yes"),
    head = prevalence("3m", "head_offset_mm", function(v) number(v) > 3),
    zone = prevalence("5y", "thinning_medial_upper", function(v) v != "0"),
    ancova = list(estimate = ancova, rows = nrow(scored), change = unname(change)),
    important = c(list(counts = do.call(rbind, gained), lost = unname(lost)), shares(gained)),
    tendon = list(counts = unname(unclass(table(factor(tendon$group, designs), tendon$grade))), odds = unname(odds)),
    pain = list(rows = nrow(long), estimate = pain, correlation = unname(marginal$geese$alpha), order = gsub("`", "", cells)),
    turnbull = turnbull,
    landmark = list(n = nrow(two), events = sum(two$revised), ratio = unname(ratio(landmark))),
    varying = list(events = sum(base$revised), ratio = unname(ratio(varying))),
    revision = list(byFiveYears = do.call(rbind, byFive), ratios = unname(hazards))
  ))
}

anatomic <- c("standard_stem", "short_stem", "stemless"); lengths <- c("standard_stem", "short_stem", "long_stem") # the largest first
record("wilson, newcombe by hand; lm + vcovCL; polr + vcovCL; geeglm; survfit(interval2), slow EM; coxph(tmerge); survfit, coxph", list(
  compared("short and stemless against standard stems", anatomic, "standard_stem", c("older", "sex"), shoulders[shoulders$class == "anatomic_total" & shoulders$stem %in% anatomic, ],
    list(cohort = list(role = "humeral_stem", classes = I("anatomic_total")), groups = anatomic, adjust = c("age", "sex"))),
  compared("short and standard against long stems", lengths, "long_stem", c(), shoulders[shoulders$stem %in% lengths, ],
    list(cohort = list(role = "humeral_stem", designs = lengths)))
), c("survival", "MASS", "sandwich", "geepack"))
