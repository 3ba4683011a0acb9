# Multinomial regression to the last digits: the Poisson regression with a free total per pattern has the same likelihood in the other
# coefficients (Baker 1994, The Statistician 43:495). `x`: covariates, one row per pattern; `counts`: one column per class.
poissonMultinomial <- function(x, counts) {
  x <- as.data.frame(x); p <- nrow(x); classes <- ncol(counts)
  long <- do.call(rbind, lapply(seq_len(classes), function(k) cbind(x, pattern = factor(seq_len(p)), class = k - 1, count = counts[, k])))
  terms <- unlist(lapply(seq_len(classes - 1), function(k) c(sprintf("I(1 * (class == %d))", k), sprintf("I(%s * (class == %d))", names(x), k))))
  fit <- glm(reformulate(c("pattern", terms, "-1"), "count"), family = poisson, data = long, control = list(epsilon = 1e-15, maxit = 100))
  own <- seq_len(length(coef(fit)) - p) + p
  list(coefficient = unname(coef(fit)[own]), variance = unname(vcov(fit)[own, own]))
}

# Probability of each class, given coefficients class by class, intercept first
shares <- function(x, coefficient, classes) {
  eta <- cbind(0, as.matrix(cbind(1, x)) %*% matrix(coefficient, ncol = classes - 1))
  unname(exp(eta) / rowSums(exp(eta)))
}

# Distinct rows of the covariates, and how many of each class have them
patterns <- function(data, covariates, class) {
  key <- do.call(paste, data[covariates])
  tally <- table(key, data[[class]])
  list(x = data[match(rownames(tally), key), covariates], counts = matrix(as.numeric(tally), nrow(tally)), of = match(key, rownames(tally)))
}
