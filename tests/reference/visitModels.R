# Models of what is seen at visits: least squares with clustered limits by sandwich, repeated visits by geepack, ordered grades by MASS with a sandwich
# by hand, all on data that come with R.
source("helpers/record.R")
suppressMessages({ library(MASS); library(sandwich); library(geepack) })

# Anorexia (MASS; Hand et al. 1993): weight after, by treatment, adjusted for weight before; every third patient a cluster of three, as if patients came in trios
girls <- transform(anorexia, cbt = as.numeric(Treat == "CBT"), ft = as.numeric(Treat == "FT"), gain = Postwt - Prewt, trio = (seq_len(nrow(anorexia)) - 1) %/% 3)
adjusted <- lm(gain ~ cbt + ft + Prewt, data = girls)
least <- function(name, cluster, covariance, df) list(name = name, kind = "leastSquares",
  input = list(names = c("cbt", "ft", "before"), x = as.matrix(unname(girls[c("cbt", "ft", "Prewt")])), y = girls$gain, cluster = cluster),
  expected = list(coefficient = unname(coef(adjusted)), covariance = unname(covariance), df = df))

# Growth (Potthoff & Roy 1964, from nlme) and respiratory illness (geepack's own data on the Ohio children, Fitzmaurice & Laird 1993)
teeth <- with(nlme::Orthodont, data.frame(y = distance, age, girl = as.numeric(Sex == "Female"), child = as.integer(factor(Subject, levels = unique(Subject)))))
teeth$both <- teeth$age * teeth$girl
data(ohio, package = "geepack")
lungs <- transform(ohio, both = age * smoke, child = id)
control <- geese.control(epsilon = 1e-13, maxit = 200)
marginal <- function(name, data, covariates, family, link) {
  fit <- geeglm(reformulate(covariates, "resp"), family = family, id = child, data = data, corstr = "exchangeable", control = control)
  list(name = name, kind = "gee", input = list(names = covariates, x = as.matrix(unname(data[covariates])), y = data$resp, cluster = data$child, link = link),
       expected = list(coefficient = unname(coef(fit)), covariance = unname(fit$geese$vbeta), correlation = unname(fit$geese$alpha), scale = unname(fit$geese$gamma)))
}

# Performance status of lung cancer (survival): polr's estimates sharpened by Newton on a numerical score, then a sandwich by hand; hospitals as clusters
patients <- lung[complete.cases(lung[c("ph.ecog", "age", "sex", "inst")]) & lung$ph.ecog < 3, ]
x <- cbind(older = (patients$age - 60) / 10, woman = patients$sex - 1); y <- patients$ph.ecog
scores <- function(p, y, x, classes) {
  cuts <- classes - 1; eta <- drop(x %*% p[-(1:cuts)])
  high <- ifelse(y < cuts, plogis(p[pmin(y + 1, cuts)] - eta), 1); low <- ifelse(y > 0, plogis(p[pmax(y, 1)] - eta), 0); prob <- high - low
  out <- matrix(0, length(y), length(p))
  for (k in 1:cuts) out[, k] <- (y == k - 1) * high * (1 - high) / prob - (y == k) * low * (1 - low) / prob
  out[, -(1:cuts)] <- x * (high + low - 1)
  out
}
ordered <- function(y, x) {
  classes <- max(y) + 1
  p <- if (classes > 2) { f <- polr(factor(y) ~ x, method = "logistic"); c(f$zeta, coef(f)) } else { f <- glm(I(y > 0) ~ x, family = binomial); c(-coef(f)[1], coef(f)[-1]) }
  total <- function(p) colSums(scores(p, y, x, classes))
  hessian <- function(p) sapply(seq_along(p), function(j) { h <- 1e-5; e <- replace(0 * p, j, h); (total(p - 2 * e) - 8 * total(p - e) + 8 * total(p + e) - total(p + 2 * e)) / (12 * h) })
  for (i in 1:20) p <- p - solve(hessian(p), total(p))
  list(p = unname(p), influence = scores(p, y, x, classes) %*% solve(-hessian(p)), classes = classes)
}
sandwiched <- function(influence, cluster) crossprod(rowsum(influence, cluster))
grades <- function(name, cluster) {
  whole <- ordered(y, x); cuts <- lapply(1:2, function(k) ordered(as.numeric(y >= k), x))
  difference <- cuts[[2]]$p[-1] - cuts[[1]]$p[-1]
  spread <- sandwiched((cuts[[2]]$influence - cuts[[1]]$influence)[, -1], cluster)
  list(name = name, kind = "proportionalOdds", input = list(names = colnames(x), x = unname(x), y = y, cluster = cluster, classes = 3),
       expected = list(coefficient = whole$p, covariance = unname(sandwiched(whole$influence, cluster)), polr = unname(signif(coef(polr(factor(y) ~ x)), 4)),
                       chisq = drop(difference %*% solve(spread, difference)), df = 2))
}

record("lm + sandwich::vcovCL(type = 'HC1'); geeglm(corstr = 'exchangeable'); polr with a sandwich by hand", list(
  least("anorexia: gain adjusted for weight before, girls on their own", seq_len(nrow(girls)), vcovHC(adjusted, type = "HC1"), nrow(girls) - 4),
  least("anorexia: the same, trios as clusters", girls$trio, vcovCL(adjusted, girls$trio, type = "HC1", cadjust = TRUE), length(unique(girls$trio)) - 1),
  marginal("teeth: distance by age and sex", transform(teeth, resp = y), c("age", "girl", "both"), gaussian, "identity"),
  marginal("Ohio: wheeze by age and the mother's smoking", lungs, c("age", "smoke", "both"), binomial, "logit"),
  grades("lung: performance status, patients on their own", seq_along(y)),
  grades("lung: performance status, hospitals as clusters", patients$inst)
), c("survival", "MASS", "sandwich", "geepack", "nlme"))
