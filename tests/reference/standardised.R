# Curves standardised to the case mix of all: riskRegression::ate where times are not tied; and, with ties, counted cells, delayed entry, strata
# and clusters, coxph and basehaz averaged over the case mix, with standard errors from numerical derivatives by the weight of each cluster.
source("helpers/record.R")
suppressMessages(library(riskRegression))

formulaOf <- function(data, covariates, model) {
  response <- if (is.null(data$entry)) "Surv(exit, event)" else "Surv(entry, exit, event)"
  strata <- c(if (model == "stratified") "group", if (!is.null(data$stratum)) "stratum")
  terms <- c(if (model == "proportional") "factor(group)", covariates, if (length(strata) > 0) sprintf("strata(%s)", paste(strata, collapse = ", ")))
  reformulate(terms, response)
}
input <- function(data, covariates) c(as.list(data[intersect(c("entry", "exit", "event", "count", "stratum", "cluster", "group"), names(data))]),
                                      list(covariates = as.list(data[covariates])))

# Two groups or more, times without ties
byAte <- function(name, data, covariates, model, times) {
  data$group <- factor(data$group)
  formula <- if (model == "stratified") reformulate(c("strata(group)", covariates), "Surv(exit, event)") else reformulate(c("group", covariates), "Surv(exit, event)")
  fit <- do.call(coxph, list(formula, data = data, control = exact, x = TRUE, y = TRUE, ties = "breslow"))
  all <- sort(unique(data$exit[data$event == 1 & data$exit <= max(times)]))
  risk <- ate(fit, data = data, treatment = "group", times = c(times), se = TRUE, iid = TRUE, verbose = FALSE)
  atAll <- ate(fit, data = data, treatment = "group", times = all, se = TRUE, iid = TRUE, verbose = FALSE)
  own <- function(table) as.data.frame(table)[order(table$time, table$treatment), ]
  mean <- own(risk$meanRisk); difference <- as.data.frame(risk$diffRisk); difference <- difference[order(difference$time, difference$A, difference$B), ]
  # area up to the last time: S is 1 until the first event time
  lengths <- diff(c(all, max(times)))
  area <- sapply(split(own(atAll$meanRisk)$estimate, own(atAll$meanRisk)$treatment), function(f) all[1] + sum(lengths * (1 - f)))
  influence <- sapply(atAll$iid[["GFORMULA"]], function(iid) -as.vector(iid %*% lengths))
  data$group <- as.integer(data$group) - 1
  list(name = paste0(name, ", ", model), model = model, input = input(data, covariates), times = times,
       expected = list(survival = matrix(1 - mean$estimate, nrow = length(times), byrow = TRUE), error = matrix(mean$se, nrow = length(times), byrow = TRUE),
                       differences = list(value = difference$estimate, error = difference$se, time = difference$time, other = as.integer(as.character(difference$A)), one = as.integer(as.character(difference$B))),
                       area = unname(area), areaCovariance = unname(crossprod(influence)), digits = 10))
}

# Standardised survival of each group at each time, and area up to the last, given how much each row weighs
averaged <- function(data, covariates, model, times, weight) {
  data$weight <- weight
  fit <- do.call(coxph, list(formulaOf(data, covariates, model), data = data, weights = data$weight, control = exact))
  hazard <- basehaz(fit, centered = FALSE)
  groups <- sort(unique(data$group))
  cumulative <- function(g, s, t) {
    rows <- rep(TRUE, nrow(hazard))
    labels <- c(if (model == "stratified") sprintf("group=%d", g), if (!is.null(data$stratum)) sprintf("stratum=%d", s))
    if (length(labels) > 0) rows <- as.character(hazard$strata) == paste(labels, collapse = ", ")
    c(0, hazard$hazard[rows])[findInterval(t, hazard$time[rows]) + 1]
  }
  beta <- coef(fit)
  survival <- function(g, times) {
    theta <- exp(as.vector(as.matrix(data[covariates]) %*% beta[covariates]) + if (model == "proportional" && g > 0) beta[sprintf("factor(group)%d", g)] else 0)
    stratum <- if (is.null(data$stratum)) rep(0, nrow(data)) else data$stratum
    total <- Reduce(`+`, lapply(unique(stratum), function(s) colSums(weight[stratum == s] * exp(-outer(theta[stratum == s], cumulative(g, s, times))))))
    total / sum(weight)
  }
  all <- sort(unique(data$exit[data$event == 1 & data$exit < max(times)]))
  area <- function(g) sum(c(1, survival(g, all)) * diff(c(0, all, max(times))))
  c(as.vector(sapply(groups, survival, times = times)), sapply(groups, area))
}
byWeight <- function(name, data, covariates, model, times) {
  rows <- if (is.null(data$count)) data else expanded(data)
  cluster <- if (is.null(rows$cluster)) seq_len(nrow(rows)) else rows$cluster
  value <- averaged(rows, covariates, model, times, rep(1, nrow(rows)))
  step <- 1e-3
  influence <- t(sapply(unique(cluster), function(c) {
    moved <- function(by) averaged(rows, covariates, model, times, ifelse(cluster == c, 1 + by, 1))
    (8 * (moved(step) - moved(-step)) - (moved(2 * step) - moved(-2 * step))) / (12 * step)
  }))
  covariance <- crossprod(influence); groups <- length(unique(rows$group)); n <- length(times)
  list(name = paste0(name, ", ", model), model = model, input = input(data, covariates), times = times,
       expected = list(survival = matrix(value[seq_len(n * groups)], n), error = signif(matrix(sqrt(diag(covariance))[seq_len(n * groups)], n), 6),
                       area = value[-seq_len(n * groups)], areaCovariance = signif(covariance[-seq_len(n * groups), -seq_len(n * groups)], 6), digits = 5))
}

untied <- function(data) transform(data, exit = exit + seq_along(exit) / 1024)
veterans <- with(veteran, data.frame(exit = time, event = status, group = trt - 1, karno, age))
deaths <- with(colon[colon$etype == 2, ], data.frame(exit = time, event = status, group = as.integer(rx) - 1, sex, age, obstruct, node4))
byMonth <- counted(with(veteran, data.frame(exit = months(time), event = status, group = trt - 1, karno = 10 * round(karno / 20), old = as.numeric(age >= 60))))
institutions <- with(lung[complete.cases(lung[c("inst", "ph.ecog")]), ], data.frame(exit = months(time), event = status - 1, group = sex - 1, age, ph.ecog, cluster = inst))
strata <- with(veteran, data.frame(exit = months(time), event = status, group = trt - 1, stratum = prior / 10, karno))
set.seed(8)
late <- transform(veterans, exit = exit + 1, entry = floor(pmin(exit, sample(c(-1, -1, 5, 15, 30), nrow(veterans), replace = TRUE))))
late$entry[late$entry < 0] <- -1

record("ate(coxph(ties = 'breslow'), se = TRUE); coxph(weights, ties = 'efron'), basehaz(centered = FALSE) and their derivatives by weights", list(
  byAte("veteran", untied(veterans), c("karno", "age"), "stratified", c(50, 100, 200)),
  byAte("veteran", untied(veterans), c("karno", "age"), "proportional", c(50, 100, 200)),
  byAte("colon deaths, three groups", untied(deaths), c("sex", "age", "obstruct", "node4"), "stratified", c(400, 1100, 1800)),
  byAte("colon deaths, three groups", untied(deaths), c("sex", "age", "obstruct", "node4"), "proportional", c(400, 1100, 1800)),
  byWeight("veteran in months, counted cells", byMonth, c("karno", "old"), "stratified", c(2, 4, 8)),
  byWeight("veteran in months, counted cells", byMonth, c("karno", "old"), "proportional", c(2, 4, 8)),
  byWeight("lung in months, institution as cluster", institutions, c("age", "ph.ecog"), "stratified", c(6, 12, 18)),
  byWeight("veteran in months, earlier therapy as stratum", strata, "karno", "stratified", c(2, 4)),
  byWeight("veteran in months, earlier therapy as stratum", strata, "karno", "proportional", c(2, 4)),
  byWeight("veteran, delayed entry", late, c("karno", "age"), "stratified", c(60, 120))
), c("survival", "riskRegression"))
