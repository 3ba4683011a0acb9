# Fine and Gray's model by finegray and a weighted coxph with robust errors; counted cells are expanded to one row per procedure first.
# finegray's strata() belong with strata in coxph too; weights by group under one baseline are expanded by hand, event time by event time.
# Where no event ties with a censoring, crr must give the same coefficients with Breslow's rule; its errors also allow for estimated weights.
source("helpers/record.R")
suppressMessages(library(cmprsk))

# One row per event time after a competing event, weighted by the Kaplan-Meier estimate of censoring in the group, events before censorings
byHand <- function(rows, group) {
  times <- sort(unique(rows$exit[rows$state == "1"]))
  pieces <- lapply(split(rows, rows[[group]]), function(g) {
    stays <- function(t) sapply(t, function(u) {
      if (u > max(g$exit)) return(0)
      at <- sort(unique(g$exit[g$event == 0 & g$exit < u]))
      prod(vapply(at, function(v) 1 - sum(g$exit == v & g$event == 0) / (sum(g$exit > v) + sum(g$exit == v & g$event == 0)), 0))
    })
    g$fgstart <- -1; g$fgstop <- g$exit; g$fgstatus <- as.numeric(g$state == "1"); g$fgwt <- 1
    longer <- lapply(which(g$state == "2"), function(i) {
      stop <- times[times > g$exit[i]]
      if (length(stop) == 0) return(NULL)
      piece <- g[rep(i, length(stop)), ]
      piece$fgstart <- c(g$exit[i], head(stop, -1)); piece$fgstop <- stop; piece$fgstatus <- 0
      piece$fgwt <- stays(stop) / stays(g$exit[i])
      piece[piece$fgwt > 0, ]
    })
    rbind(g, do.call(rbind, longer))
  })
  do.call(rbind, pieces)
}

model <- function(name, data, covariates, ties = "efron", censoring = NULL, cause = 1) {
  rows <- if (is.null(data$count)) data else expanded(data)
  rows$id <- seq_len(nrow(rows))
  rows$state <- factor(ifelse(rows$event == cause, 1, ifelse(rows$event == 0, 0, 2)), 0:2)
  if (is.null(rows$cluster)) rows$cluster <- rows$id
  group <- if (!is.null(rows$stratum)) "stratum"
  response <- if (is.null(rows$entry)) "Surv(exit, state) ~ ." else "Surv(entry, exit, state) ~ ."
  weighted <- if (!is.null(censoring)) byHand(rows, censoring) else finegray(as.formula(paste(response, if (!is.null(group)) paste("+ strata(", group, ")"))), data = rows, id = id, etype = "1")
  strata <- if (is.null(rows$stratum)) "" else "+ strata(stratum)"
  formula <- as.formula(paste("Surv(fgstart, fgstop, fgstatus) ~", paste(covariates, collapse = " + "), strata))
  if (!is.null(group)) weighted[[group]] <- rows[[group]][match(weighted$id, rows$id)] # finegray leaves it out
  fit <- coxph(formula, data = weighted, weights = fgwt, cluster = cluster, ties = ties, control = exact)
  columns <- intersect(c("entry", "exit", "event", "count", "stratum", "cluster"), names(data))
  list(name = paste(name, ties, sep = ", "), ties = ties, cause = cause,
       input = c(as.list(data[columns]), list(covariates = as.list(data[covariates])), if (!is.null(censoring)) list(censoringGroup = data[[censoring]])),
       expected = list(coef = unname(coef(fit)), variance = unname(vcov(fit)), logLik = fit$loglik, wald = unname(fit$wald.test)))
}
both <- function(...) list(model(..., ties = "efron"), model(..., ties = "breslow"))

fourteen <- data.frame(exit = c(1, 2, 3, 4, 4, 4, 5, 5, 6, 8, 8, 9, 10, 12), event = c(1, 2, 0, 1, 0, 0, 2, 1, 0, 0, 2, 0, 1, 0),
                       x = c(5, 4, 3, 1, 2, 1, 1, 2, 2, 4, 6, 1, 2, 0))
# Scrucca, Santucci & Aversa 2007, Bone Marrow Transplant 40:381: the 35 patients in print
pairs <- strsplit(strsplit(paste("13/2 1/1 72/0 7/2 8/2 9/2 5/2 1/2 22/2 0/2 0/1 35/0 4/2 14/2 26/2 3/2 12/1",
                                 "67/0 70/0 4/0 7/0 68/0 10/2 7/2 3/1 4/1 4/1 3/1 3/1 8/1 2/2 35/0 2/0 8/0 32/0"), " ")[[1]], "/")
transplant <- data.frame(exit = as.numeric(sapply(pairs, `[`, 1)), event = as.numeric(sapply(pairs, `[`, 2)), disease = rep(0:1, c(17, 18)))

mgus <- with(mgus2[complete.cases(mgus2[c("age", "sex", "mspike")]), ],
             data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death), age = age / 10, male = as.numeric(sex == "M"), mspike))
coarse <- counted(with(mgus, data.frame(exit = ceiling(exit / 12), event, old = as.numeric(age >= 7), male)))
sexes <- with(mgus, data.frame(exit, event, stratum = male, age, mspike))
late <- with(mgus, data.frame(entry = ifelse(seq_along(exit) %% 3 == 0 & exit > 24, 24, ifelse(seq_along(exit) %% 4 == 0 & exit > 7, 7, -1)), exit, event, age, mspike))

set.seed(7)
n <- 250
clinics <- data.frame(exit = sample(0:15, n, replace = TRUE), event = sample(0:3, n, replace = TRUE, prob = c(4, 3, 2, 1)),
                      a = rnorm(n), b = rbinom(n, 1, 0.3), stratum = sample(0:2, n, replace = TRUE), cluster = sample(0:24, n, replace = TRUE))
clinics$era <- as.numeric(seq_len(n) > n / 2)
clinics$exit[clinics$era == 1] <- pmin(clinics$exit[clinics$era == 1], 8) # followed for less long

continuous <- data.frame(exit = round(rexp(n, 1 / 900) + runif(n), 6), event = sample(0:2, n, replace = TRUE), a = rnorm(n), b = rbinom(n, 1, 0.4))
stopifnot(!anyDuplicated(continuous$exit))
agreeing <- model("no ties, on which crr agrees", continuous, c("a", "b"), "breslow")
theirs <- with(continuous, crr(exit, event, cbind(a, b), gtol = 1e-14, maxiter = 50))
stopifnot(max(abs(theirs$coef - agreeing$expected$coef)) < 1e-9)
agreeing$expected$crr <- list(coef = unname(theirs$coef), standardError = sqrt(diag(theirs$var)))
continuous$era <- as.numeric(seq_len(n) > n / 2)
continuous$exit[continuous$era == 1] <- continuous$exit[continuous$era == 1] / 2
grouped <- model("no ties, follow-up by era, on which crr agrees", continuous, c("a", "b", "era"), "breslow", censoring = "era")
theirs <- with(continuous, crr(exit, event, cbind(a, b, era), cengroup = era, gtol = 1e-14, maxiter = 50))
stopifnot(max(abs(theirs$coef - grouped$expected$coef)) < 1e-9)
grouped$expected$crr <- list(coef = unname(theirs$coef), standardError = sqrt(diag(theirs$var)))
# By hand and by finegray the same, where one group is all
one <- transform(clinics[names(clinics) != "stratum"], one = 0)
stopifnot(all.equal(model("", one, c("a", "b"), censoring = "one")$expected, model("", one, c("a", "b"))$expected, tolerance = 1e-10))

cases <- c(
  both("fourteen subjects", fourteen, "x"),
  both("transplants in print, cause 1", transplant, "disease"),
  both("transplants in print, cause 2", transplant, "disease", cause = 2),
  both("mgus2", mgus, c("age", "male", "mspike")),
  both("mgus2 in years, counted cells", coarse, c("old", "male")),
  both("mgus2, stratified by sex", sexes, c("age", "mspike")),
  both("mgus2, some entering late", late, c("age", "mspike")),
  both("clinics: events on day 0, clusters", clinics[c("exit", "event", "cluster", "a", "b")], c("a", "b")),
  both("clinics: strata and clusters", clinics[c("exit", "event", "stratum", "cluster", "a", "b")], c("a", "b")),
  both("clinics: follow-up by era", clinics[c("exit", "event", "a", "b", "era")], c("a", "b", "era"), censoring = "era"),
  list(agreeing, grouped)
)
record("coxph(Surv(fgstart, fgstop, fgstatus) ~ ..., data = finegray(Surv(exit, state) ~ .), weights = fgwt, cluster)", cases, c("survival", "cmprsk"))
