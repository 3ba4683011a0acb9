# The sample extract cut into one registry per region: the rows of all of them, stratified by registry, which pooled counts must give. And the random-effects mean of
# what each estimates by itself.
source("helpers/record.R")
source("helpers/sampleComparisons.R")
suppressMessages(library(metafor))

pooled <- function(name, groups, adjust, strata, horizon) {
  cohort <- shoulders[shoulders$class == "anatomic_total" & shoulders$design %in% groups, ]
  cohort$group <- factor(cohort$design, groups)
  cohort <- upTo(cohort, horizon)
  days <- floor(c(1, 2, 5, 7) * 365.25 + 0.5)
  curve <- function(data) lapply(groups, function(g) {
    own <- data[data$group == g, ]
    s <- summary(survfit(Surv(entry, exit, revised) ~ 1, data = own, conf.type = "log-log"), times = days)
    list(atRisk = sapply(days, function(t) sum(own$entry < t & own$exit >= t)), percent = 100 * (1 - s$surv), lower = 100 * (1 - s$upper), upper = 100 * (1 - s$lower))
  })
  factors <- setdiff(column[adjust], "ageTens")
  complete <- cohort[complete.cases(cohort[column[adjust]]), ]
  commonest <- function(data) { for (v in factors) data[[v]] <- relevel(factor(data[[v]]), names(which.max(table(data[[v]])))); data }
  complete <- commonest(complete)
  formula <- function(terms, registry = TRUE) as.formula(paste("Surv(entry, exit, revised) ~", paste(c(terms, if (registry) "strata(region)", if (length(strata)) paste0("strata(", strata, ")")), collapse = " + ")))
  fit <- suppressWarnings(coxph(formula(c("group", column[adjust])), data = complete, control = exact))
  plain <- suppressWarnings(coxph(Surv(entry, exit, revised) ~ group + strata(region), data = complete, control = exact))
  width <- length(groups) - 1
  at <- seq_len(width)
  limits <- function(model) { se <- sqrt(diag(vcov(model)))[at]; exp(unname(coef(model)[at] + outer(unname(se), c(0, -1, 1) * qnorm(0.975)))) }
  zph <- cox.zph(fit, transform = "km")$table
  each <- lapply(sort(unique(cohort$region)), function(r) {
    # Patients with both shoulders in the cohort are clusters, as the question has it
    own <- suppressWarnings(coxph(formula(c("group", column[adjust]), FALSE), data = commonest(complete[complete$region == r, ]), control = exact, cluster = patient_id))
    list(registry = r, procedures = sum(cohort$region == r), events = sum(cohort$revised[cohort$region == r]), curves = curve(cohort[cohort$region == r, ]),
         logRatio = unname(coef(own)[at]), standardError = unname(sqrt(diag(vcov(own)))[at]))
  })
  together <- rma(sapply(each, function(e) e$logRatio[1]), sapply(each, function(e) e$standardError[1])^2, method = "REML", test = "adhoc", control = list(threshold = 1e-15, maxiter = 10000))
  list(name = name, input = list(version = registry$version, question = list(cohort = list(classes = I("anatomic_total")), groups = groups, reference = groups[1],
         adjust = I(adjust), strata = I(strata), horizonYears = round(horizon / 365.25), atYears = c(1, 2, 5, 7))),
       expected = list(procedures = fit$n, events = fit$nevent, curves = curve(cohort), adjusted = limits(fit), unadjusted = limits(plain),
         group = as.list(zph["group", ]), global = as.list(zph["GLOBAL", ]), each = each,
         meta = c(as.vector(together$beta), together$se, together$ci.lb, together$ci.ub, together$tau2)))
}

record("coxph(… + strata(region)), survfit, rma(method = \"REML\", test = \"adhoc\")", packages = c("survival", "metafor"), list(
  pooled("two designs, age and sex, ten years", c("all_poly_pegged", "all_poly_keeled"), c("age", "sex"), character(0), 3653),
  pooled("three designs, continuous age and indication, within each sex, seven years", c("all_poly_pegged", "all_poly_keeled", "metal_backed"), c("age_linear", "indication"), "sex", 2557)))
