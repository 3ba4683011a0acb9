# Hazard ratios that change over time: the spline of plot.cox.zph with knots at the tertiles of events, and the best cut by likelihood ratio,
# from fitting every candidate.
source("helpers/record.R")
library(splines)

smooth <- function(name, data, covariates) {
  fit <- coxph(reformulate(covariates, "Surv(exit, event)"), data = data, control = exact)
  z <- cox.zph(fit, transform = "km", terms = FALSE)
  at <- quantile(z$time, c(0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1), type = 1)
  km <- survfit(Surv(exit, event) ~ 1, data = data, timefix = FALSE)
  g <- function(t) 1 - c(1, km$surv)[findInterval(t, km$time, left.open = TRUE) + 1]
  basis <- function(x) ns(x, knots = quantile(z$x, c(1, 2) / 3), Boundary.knots = range(z$x), intercept = TRUE)
  x <- basis(z$x); new <- basis(g(at))
  curves <- lapply(seq_along(covariates), function(j) {
    coefficient <- qr.coef(qr(x), z$y[, j])
    spread <- rowSums((new %*% solve(crossprod(x))) * new)
    list(log = as.vector(new %*% coefficient), error = sqrt(z$var[j, j] * spread))
  })
  stopifnot(isTRUE(all.equal(z$x, g(z$time), check.attributes = FALSE)))
  list(name = paste(name, "smooth", sep = ", "), kind = "smooth", input = c(as.list(data[c("exit", "event")]), list(covariates = as.list(data[covariates]))), times = unname(at), curves = curves)
}

# Likelihood of the columns `varying` having effects of their own between the cuts
cutLikelihood <- function(data, varying, others, cuts) {
  if (length(cuts) == 0) return(coxph(reformulate(c(varying, others), "Surv(exit, event)"), data = data, control = exact)$loglik[2])
  pieces <- survSplit(Surv(exit, event) ~ ., data = data, cut = cuts, episode = "piece", start = "entry", zero = -1)
  coxph(reformulate(c(sprintf("%s:strata(piece)", varying), others), "Surv(entry, exit, event)"), data = pieces, control = exact)$loglik[2]
}
best <- function(data, varying, others, cuts, alpha, minEvents = 10) {
  times <- sort(unique(data$exit[data$event == 1]))
  enough <- function(t) all(table(cut(data$exit[data$event == 1], c(-Inf, sort(c(cuts, t)), Inf))) >= minEvents)
  candidates <- Filter(enough, setdiff(times, cuts))
  without <- cutLikelihood(data, varying, others, cuts)
  chisq <- sapply(candidates, function(t) 2 * (cutLikelihood(data, varying, others, sort(c(cuts, t))) - without))
  p <- pchisq(max(chisq), length(varying), lower.tail = FALSE)
  needed <- alpha / (2^length(cuts) * length(candidates))
  list(time = candidates[which.max(chisq)], chisq = max(chisq), df = length(varying), p = p, candidates = length(candidates), needed = needed, accepted = p < needed)
}
cutting <- function(name, data, varying, others = character(0), alpha = 0.05) {
  cuts <- c(); tried <- list()
  while (length(cuts) < 2) {
    b <- best(data, varying, others, cuts, alpha)
    tried <- c(tried, list(b))
    if (!b$accepted) break
    cuts <- sort(c(cuts, b$time))
  }
  list(name = paste(name, "cut points", sep = ", "), kind = "cuts", input = c(as.list(data[c("exit", "event")]), list(covariates = as.list(data[c(varying, others)]))),
       alpha = alpha, varying = I(seq_along(varying) - 1), cuts = I(as.numeric(cuts)), tried = tried)
}

veterans <- with(veteran, data.frame(exit = time, event = status, karno, prior = prior / 10, trt = trt - 1))
lungs <- with(lung[complete.cases(lung[c("ph.karno", "ph.ecog")]), ], data.frame(exit = time, event = status - 1, karno = ph.karno, sex, age))
patients <- with(colon[colon$etype == 1 & !is.na(colon$nodes), ], data.frame(exit = time, event = status, lev = as.numeric(rx == "Lev"), both = as.numeric(rx == "Lev+5FU"), node4, obstruct))
record("cox.zph(transform = 'km'), ns, qr.coef; coxph on survSplit at every candidate", list(
  smooth("veteran", veterans, c("karno", "prior", "trt")),
  smooth("lung", lungs, c("karno", "sex", "age")),
  smooth("colon recurrence", patients, c("lev", "both", "node4", "obstruct")),
  cutting("veteran", veterans, "karno", c("prior", "trt")),
  cutting("lung", lungs, "sex", c("karno", "age")),
  cutting("colon recurrence", patients, c("lev", "both"), c("node4", "obstruct")),
  cutting("colon recurrence by obstruction, asking for less than is wise", patients, "obstruct", c("lev", "both", "node4"), alpha = 40)
))
