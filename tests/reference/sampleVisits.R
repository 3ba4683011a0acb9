# Follow-up visits of the sample extract, from its CSV files: short, standard and stemless humeral components of anatomic total shoulders.
source("helpers/record.R")
source("helpers/sampleProcedures.R")
suppressMessages({ library(MASS); library(sandwich); library(geepack) })

stems <- extractTable("components")
stems <- stems[stems$role == "humeral_stem" & stems$model_code %in% extractTable("models")$model_code, ]
procedures$stem <- stems$design_class[match(procedures$procedure_id, stems$procedure_id)]
designs <- c("standard_stem", "short_stem", "stemless") # the reference first
visits <- extractTable("followups")
cohort <- procedures[procedures$joint == "shoulder" & procedures$class == "anatomic_total" & procedures$stem %in% designs & procedures$procedure_id %in% visits$procedure_id, ]
cohort <- cohort[cohort$entry < cohort$exit | cohort$entry == 0, ]
cohort$group <- factor(cohort$stem, designs)
cohort$older <- factor(findInterval(cohort$age, c(55, 65, 75)))
visits <- cbind(visits, cohort[match(visits$procedure_id, cohort$procedure_id), c("group", "day", "exit", "patient_id", "age", "sex")])
visits <- visits[!is.na(visits$group), ]
visits$on <- day(visits$visit_date) - visits$day
visits <- visits[is.na(visits$on) | visits$on <= visits$exit, ]
windows <- c(before = 0, "3m" = 91, "1y" = 365, "2y" = 731, "5y" = 1826, "10y" = 3653)
number <- function(v) as.numeric(v)
perGroup <- function(of) sapply(designs, function(g) of(visits$group == g), USE.NAMES = FALSE)

wilson <- function(x, n) { z <- qnorm(0.975); p <- x / n; c(p, (p + z^2 / (2 * n) + c(-1, 1) * z * sqrt(p * (1 - p) / n + z^2 / (4 * n^2))) / (1 + z^2 / n)) }
newcombe <- function(a, b) { p <- wilson(a[1], a[2]); q <- wilson(b[1], b[2]); d <- p[1] - q[1]; c(d, d - sqrt((p[1] - p[2])^2 + (q[3] - q[1])^2), d + sqrt((p[3] - p[1])^2 + (q[1] - q[2])^2)) }
sign <- function(window, column, has) lapply(designs, function(g) { own <- visits[visits$visit == window & visits$group == g & !is.na(visits[[column]]), column]; c(sum(has(own)), length(own)) })
prevalence <- function(window, column, has) {
  counts <- sign(window, column, has)
  list(window = window, counts = do.call(rbind, counts), percent = 100 * t(sapply(counts, function(x) wilson(x[1], x[2]))), points = 100 * rbind(newcombe(counts[[2]], counts[[1]]), newcombe(counts[[3]], counts[[1]])))
}
due <- function(window) t(sapply(designs, function(g) {
  own <- cohort[cohort$stem == g, ]; rows <- visits[visits$visit == window & visits$group == g, ]
  c(sum(own$procedure_id %in% rows$procedure_id | own$exit >= windows[[window]]), sum(!is.na(rows$on)), sum(is.na(rows$on)))
}))

# Score at two years, adjusted for the score before, age band and sex; patients as clusters
wide <- function(window, column) number(visits[visits$visit == window, column])[match(cohort$procedure_id, visits$procedure_id[visits$visit == window])]
cohort$now <- wide("2y", "score_total"); cohort$before <- wide("before", "score_total")
scored <- cohort[!is.na(cohort$now) & !is.na(cohort$before), ]
fit <- lm(now ~ group + before + older + sex, data = scored)
v <- vcovCL(fit, scored$patient_id, type = "HC1", cadjust = TRUE); clusters <- length(unique(scored$patient_id))
half <- qt(0.975, clusters - 1) * sqrt(diag(v))
ancova <- unname(cbind(coef(fit), coef(fit) - half, coef(fit) + half)[2:3, ])
change <- t(sapply(designs, function(g) { d <- with(scored[scored$group == g, ], now - before); c(length(d), unlist(t.test(d)[c("estimate", "conf.int")])) }))

# Grades of the tendon at one year; unadjusted, to the digits that polr gives
tendon <- visits[visits$visit == "1y" & !is.na(visits$tendon), ]
graded <- polr(factor(tendon, c("intact", "attenuated", "torn")) ~ group, data = tendon, control = list(reltol = 1e-15, maxit = 1000))

# Pain at all visits after the procedure: geepack
long <- visits[visits$visit != "before" & !is.na(visits$pain), ]
long$before <- number(visits$pain[visits$visit == "before"])[match(long$procedure_id, visits$procedure_id[visits$visit == "before"])]
long <- long[!is.na(long$before), ]
long$visit <- factor(long$visit, names(windows)[-1]); long$older <- factor(findInterval(long$age, c(55, 65, 75))); long$pain <- number(long$pain)
for (g in designs[-1]) for (w in levels(long$visit)) long[[paste0(g, "_", w)]] <- as.numeric(long$group == g & long$visit == w)
cells <- paste0("`", outer(designs[-1], levels(long$visit), paste, sep = "_"), "`")
long <- long[order(long$patient_id), ]
long$id <- match(long$patient_id, unique(long$patient_id))
marginal <- geeglm(reformulate(c("visit", "before", "older", "sex", cells), "pain"), id = id, data = long, corstr = "exchangeable", control = geese.control(epsilon = 1e-13, maxit = 200))
at <- match(gsub("`", "", cells), gsub("`", "", names(coef(marginal))))
error <- sqrt(diag(marginal$geese$vbeta))[at]
pain <- unname(cbind(coef(marginal)[at], coef(marginal)[at] - qnorm(0.975) * error, coef(marginal)[at] + qnorm(0.975) * error))

# Time to the first sign of bone adaptation: survival's Turnbull estimate, visits at their planned day
first <- t(sapply(split(visits[!is.na(visits$stem_adaptation), ], visits$procedure_id[!is.na(visits$stem_adaptation)]), function(own) {
  own <- own[order(windows[own$visit]), ]; t <- windows[own$visit]; yes <- which(own$stem_adaptation == "yes")
  right <- if (length(yes)) t[yes[1]] else NA; left <- max(c(0, t[own$stem_adaptation == "no" & (is.na(right) | t < right)])); c(left, right)
}))
stem <- cohort$stem[match(rownames(first), cohort$procedure_id)]
turnbull <- lapply(designs, function(g) {
  own <- first[stem == g, ]
  fit <- survfit(Surv(ifelse(own[, 1] == 0, NA, own[, 1]), own[, 2], type = "interval2") ~ 1)
  list(n = nrow(own), share = round(100 * sapply(windows[3:6], function(d) 1 - c(1, fit$surv)[1 + sum(fit$time <= d)]), 3))
})

# Radiolucency and later revision: landmark at two years and the sign as it changes; groups, age and sex in the model, patients as clusters
lines <- visits[!is.na(visits$glenoid_radiolucency) & !is.na(visits$on), ]
assessed <- tapply(lines$on, lines$procedure_id, min); seen <- with(lines[lines$glenoid_radiolucency != "0", ], tapply(on, procedure_id, min))
cohort$assessed <- assessed[cohort$procedure_id]; cohort$seen <- seen[cohort$procedure_id]
cohort$revised <- as.numeric(cohort$event == 1 & cohort$exit <= 5479); cohort$until <- pmin(cohort$exit, 5479)
ratio <- function(fit) c(exp(coef(fit)["sign"]), exp(coef(fit)["sign"] + c(-1, 1) * qnorm(0.975) * sqrt(vcov(fit)["sign", "sign"])))
two <- cohort[cohort$until > 731 & !is.na(cohort$assessed) & cohort$assessed <= 731, ]
two$sign <- as.numeric(!is.na(two$seen) & two$seen <= 731); two$start <- pmax(731, two$entry)
landmark <- coxph(Surv(start, until, revised) ~ group + older + sex + sign, data = two, cluster = patient_id, control = exact)
open <- cohort[!is.na(cohort$assessed) & pmax(cohort$assessed, cohort$entry) < cohort$until, ]
open$start <- pmax(open$assessed, open$entry)
base <- tmerge(open[c("procedure_id", "patient_id", "group", "older", "sex")], open, id = procedure_id, revised = event(until, revised), tstart = start, tstop = until)
base <- tmerge(base, open[!is.na(open$seen), ], id = procedure_id, sign = tdc(seen))
varying <- coxph(Surv(tstart, tstop, revised) ~ group + older + sex + sign, data = base, cluster = patient_id, control = exact)

record("wilson, newcombe by hand; lm + vcovCL; polr; geeglm; survfit(interval2); coxph(tmerge)", list(list(
  name = "short and stemless against standard stems",
  input = list(version = registry$version, question = list(cohort = list(role = "humeral_stem", classes = I("anatomic_total")), groups = designs, reference = designs[1], adjust = c("age", "sex"))),
  expected = list(
    groups = unname(c(table(cohort$group))), due = lapply(names(windows), function(w) list(window = w, counts = unname(due(w)))),
    adaptation = lapply(c("1y", "2y", "5y", "10y"), prevalence, "stem_adaptation", function(v) v == "yes"),
    head = prevalence("3m", "head_offset_mm", function(v) number(v) > 3),
    zone = prevalence("5y", "thinning_medial_upper", function(v) v != "0"),
    ancova = list(estimate = ancova, rows = nrow(scored), change = unname(change)),
    tendon = list(counts = unname(unclass(with(tendon, table(group, factor(tendon, c("intact", "attenuated", "torn")))))), odds = unname(signif(exp(coef(graded)), 4))),
    pain = list(rows = nrow(long), estimate = pain, correlation = unname(marginal$geese$alpha), order = gsub("`", "", cells)),
    turnbull = turnbull,
    landmark = list(n = nrow(two), events = sum(two$revised), ratio = unname(ratio(landmark))),
    varying = list(events = sum(base$revised), ratio = unname(ratio(varying)))
  ))), c("survival", "MASS", "sandwich", "geepack"))
