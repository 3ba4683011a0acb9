# The adjusted ratio on the sample extract, from its CSV files, with the model's own limits and robust ones over patients, hospitals and
# surgeons (coxph); and within hospitals, by coxph with gamma frailties at given variances, searched here for the best and for its limits.
source("helpers/record.R")
source("helpers/sampleProcedures.R")

groups <- c("all_poly_pegged", "all_poly_keeled")
shoulders <- procedures[procedures$joint == "shoulder" & procedures$class == "anatomic_total" & procedures$design %in% groups, ]
shoulders$group <- factor(shoulders$design, groups)
shoulders$age <- relevel(cut(shoulders$age, c(-Inf, 54, 64, 74, Inf)), "(64,74]")
shoulders$sex <- factor(shoulders$sex, c("female", "male"))
data <- upTo(shoulders, 3653)
terms <- "group + age + sex"

ratio <- function(fit) {
  b <- unname(coef(fit)["groupall_poly_keeled"]); se <- sqrt(vcov(fit)["groupall_poly_keeled", "groupall_poly_keeled"])
  list(ratio = exp(b + c(0, -1, 1) * qnorm(0.975) * se), p = 2 * pnorm(-abs(b / se)))
}
formula <- as.formula(paste("Surv(entry, exit, revised) ~", terms))
plain <- coxph(formula, data, control = exact)
robust <- lapply(c("patient_id", "hospital_id", "surgeon_id"), function(unit) {
  data$by <- data[[unit]]
  c(list(clusters = length(unique(data$by))), ratio(coxph(formula, data, cluster = by, control = exact)))
})

names(robust) <- c("patient", "hospital", "surgeon")
frail <- function(theta) {
  f <- as.formula(sprintf("Surv(entry, exit, revised) ~ %s + frailty(hospital_id, distribution = 'gamma', theta = %.17g, sparse = FALSE)", terms, theta))
  suppressWarnings(coxph(f, data, control = coxph.control(eps = 1e-12, iter.max = 100)))
}
logLik <- function(theta) frail(theta)$history[[1]]$c.loglik
best <- optimize(logLik, c(0.01, 0.5), maximum = TRUE, tol = 1e-6)
level <- best$objective - qchisq(0.95, 1) / 2
side <- function(from, to) uniroot(function(theta) logLik(theta) - level, c(from, to), tol = 1e-7)$root
fit <- frail(best$maximum)
chisq <- 2 * (best$objective - plain$loglik[2])
hospitals <- exp(coef(fit)[grepl("^(frailty|gamma)", names(coef(fit)))])

record("coxph(cluster); coxph(... + frailty(hospital, distribution = \"gamma\", theta, sparse = FALSE))", list(list(
  name = "pegged and keeled to ten years, adjusted for age and sex", version = registry$version,
  question = list(cohort = list(joint = "shoulder", role = "glenoid", classes = I("anatomic_total")), groups = groups, reference = groups[1],
                  adjust = c("age", "sex"), horizonYears = 10),
  expected = list(none = ratio(plain), robust = robust,
                  frailty = list(clusters = length(unique(data$hospital_id)), variance = c(best$maximum, side(0.005, best$maximum), side(best$maximum, 1)),
                                 chisq = chisq, p = pchisq(chisq, 1, lower.tail = FALSE) / 2, ratio = ratio(fit), spread = range(hospitals))))))
