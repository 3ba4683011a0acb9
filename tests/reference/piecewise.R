# Period-specific hazard ratios: follow-up split with survSplit, the group's columns apart in each period, the others constant.
source("helpers/record.R")

model <- function(name, data, cuts, others = "", clustered = FALSE) {
  data$row <- seq_len(nrow(data))
  start <- if (is.null(data$entry)) rep(0, nrow(data)) else data$entry
  split <- survSplit(Surv(start, exit, event) ~ ., data = cbind(data[setdiff(names(data), "entry")], start = start), cut = cuts, episode = "period", start = "start", end = "exit")
  groups <- levels(data$group)[-1]
  columns <- unlist(lapply(seq_len(length(cuts) + 1), function(k) lapply(groups, function(g) as.numeric(split$group == g & split$period == k))), recursive = FALSE)
  split$x <- do.call(cbind, columns)
  fit <- coxph(as.formula(paste("Surv(start, exit, event) ~ x", others)), data = split, control = exact)
  unbounded <- abs(coef(fit)) > 20 # where R has let a coefficient run towards infinity, and stopped
  blank <- function(variance) { variance[unbounded, ] <- NA; variance[, unbounded] <- NA; unname(variance) }
  expected <- list(coef = unname(ifelse(unbounded, NA, coef(fit))), variance = blank(vcov(fit)), logLik = fit$loglik)
  if (clustered) {
    robust <- coxph(as.formula(paste("Surv(start, exit, event) ~ x", others)), data = split, control = exact, cluster = row)
    expected$robustVariance <- blank(vcov(robust))
  }
  x <- model.matrix(as.formula(paste("~ group", others)), data)[, -1, drop = FALSE]
  covariates <- as.list(as.data.frame(unname(x)))
  names(covariates) <- colnames(x)
  list(name = name, cuts = as.list(cuts), input = c(as.list(data[intersect(c("entry", "exit", "event"), names(data))]), list(covariates = covariates, varying = as.list(seq_along(groups) - 1))), expected = expected)
}

veterans <- with(veteran, data.frame(exit = time, event = status, group = celltype, karno, age))
arms <- with(colon[colon$etype == 2, ], data.frame(exit = time, event = status, group = rx, age, node4))
arms <- arms[complete.cases(arms), ]
hearts <- with(heart, data.frame(entry = start, exit = stop, event, group = transplant, age, surgery))

cases <- list(
  model("veteran, four cell types, cuts at 90 and 180 days", veterans, c(90, 180), "+ karno + age", clustered = TRUE),
  model("colon deaths, three arms, cuts at half a year and two", arms, c(183, 731), "+ age + node4", clustered = TRUE),
  model("heart, delayed entry, one cut", hearts, 100, "+ age + surgery")
)
record("coxph on survSplit(..., cut), control = coxph.control(eps = 1e-14, iter.max = 100)", cases)
