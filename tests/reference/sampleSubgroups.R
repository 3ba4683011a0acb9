# The groups' hazard ratios within age bands, sexes and indications on the sample extract, from its CSV files: one model per factor, robust limits,
# Wald test of equal ratios, p-values over the factors adjusted as in Benjamini & Hochberg 1995 (p.adjust).
source("helpers/record.R")
source("helpers/sampleComparisons.R")

within <- function(comparison, factor) {
  cohort <- cohortOf(comparison)
  by <- column[factor]
  covariates <- setdiff(c(setdiff(comparison$adjust, factor), factor), comparison$strata)
  cohort <- cohort[complete.cases(cohort[column[c(comparison$adjust, factor)]]), ]
  cohort$level <- factor(cohort[[by]])
  cells <- table(cohort$level, cohort$group)
  events <- xtabs(revised ~ level + group, cohort)
  # The likelihood's limit where part of a level has no revisions is that without those procedures
  fitted <- cohort[events[cbind(as.integer(cohort$level), as.integer(cohort$group))] > 0, ]
  at <- expand.grid(group = seq_along(comparison$groups)[-1], level = seq_len(nlevels(cohort$level)))
  at <- at[events[cbind(at$level, at$group)] > 0, ]
  x <- mapply(function(g, l) as.numeric(as.integer(fitted$level) == l & as.integer(fitted$group) == g), at$group, at$level)
  formula <- paste("Surv(entry, exit, revised) ~", paste(c(column[covariates], "x", if (length(comparison$strata)) paste0("strata(", comparison$strata, ")")), collapse = " + "))
  fitted$x <- x
  model <- suppressWarnings(coxph(as.formula(formula), data = fitted, cluster = cluster, control = exact))
  own <- tail(seq_along(coef(model)), nrow(at))
  estimate <- coef(model)[own]
  variance <- vcov(model)[own, own]
  known <- events[at$level, 1] > 0
  ratio <- array(NA, c(nlevels(cohort$level), length(comparison$groups) - 1, 3))
  for (k in which(known)) ratio[at$level[k], at$group[k] - 1, ] <- exp(estimate[k] + c(0, -1, 1) * qnorm(0.975) * sqrt(variance[k, k]))

  pairs <- do.call(rbind, lapply(split(which(known), at$group[known]), function(k) cbind(k[-1], k[1])))
  contrast <- t(apply(pairs, 1, function(pair) replace(replace(numeric(nrow(at)), pair[1], 1), pair[2], -1)))
  difference <- contrast %*% ifelse(is.na(estimate), 0, estimate)
  variance[is.na(variance)] <- 0
  chisq <- c(t(difference) %*% solve(contrast %*% variance %*% t(contrast), difference))
  list(factor = factor, procedures = nrow(cohort), events = sum(cohort$revised), test = list(chisq = chisq, df = nrow(pairs), p = pchisq(chisq, nrow(pairs), lower.tail = FALSE)),
       levels = lapply(seq_len(nlevels(cohort$level)), function(l) list(level = paste0(if (factor == "age") "age-", levels(cohort$level)[l]),
         procedures = sum(cells[l, ]), events = sum(events[l, ]), ofGroup = list(procedures = I(c(unname(cells[l, -1]))), events = I(c(unname(events[l, -1])))),
         ratio = matrix(ratio[l, , ], ncol = 3))))
}

record("coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster); p.adjust(method = \"BH\")", lapply(comparisons, function(comparison) {
  factors <- lapply(c("age", "sex", "indication"), function(factor) within(comparison, factor))
  adjusted <- p.adjust(sapply(factors, function(f) f$test$p), "BH")
  list(name = comparison$name, input = inputOf(comparison), expected = Map(function(f, p) { f$test$adjustedP <- p; f }, factors, adjusted))
}))
