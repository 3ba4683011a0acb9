# Hazard ratios within subgroups from one model with interactions, and tests of interaction, by coxph.
source("helpers/record.R")

case <- function(name, data, group, subgroup, others = character(0), ties = "efron") {
  response <- if (is.null(data$entry)) "Surv(exit, event)" else "Surv(entry, exit, event)"
  data$level <- factor(data[[subgroup]])
  levels <- levels(data$level); width <- length(group)
  cells <- as.vector(sapply(levels, function(l) sprintf("I(%s * (level == '%s'))", group, l)))
  fit <- function(...) coxph(reformulate(c(..., others, "level"), response), data = data, ties = ties, control = exact)
  within <- fit(cells); without <- fit(group)
  own <- seq_along(cells)
  contrast <- do.call(rbind, lapply(seq_len(width), function(v) t(sapply(seq_along(levels)[-1], function(l) { row <- rep(0, length(cells)); row[(l - 1) * width + v] <- 1; row[v] <- -1; row }))))
  wald <- function(f) { d <- contrast %*% coef(f)[own]; as.numeric(t(d) %*% solve(contrast %*% vcov(f)[own, own] %*% t(contrast), d)) }
  expected <- list(coefficient = unname(coef(within)[own]), error = unname(sqrt(diag(vcov(within)))[own]), wald = wald(within),
                   likelihoodRatio = 2 * (within$loglik[2] - without$loglik[2]), df = nrow(contrast))
  if (!is.null(data$cluster)) {
    robust <- fit(cells, "cluster(cluster)")
    expected$robust <- list(error = unname(sqrt(diag(vcov(robust)))[own]), wald = wald(robust))
  }
  list(name = name, input = c(as.list(data[intersect(c("entry", "exit", "event", "cluster"), names(data))]), list(covariates = as.list(data[c(group, others)]), subgroup = as.integer(data$level) - 1)),
       varying = I(seq_along(group) - 1), levels = levels, expected = expected)
}

patients <- with(colon[colon$etype == 1 & !is.na(colon$differ), ], data.frame(exit = time, event = status, lev = as.numeric(rx == "Lev"), both = as.numeric(rx == "Lev+5FU"), node4, age, differ, sex))
veterans <- with(veteran, data.frame(exit = time, event = status, test = trt - 1, karno, celltype = as.integer(celltype)))
infections <- with(cgd, data.frame(entry = tstart, exit = tstop, event = status, rIFN = as.integer(treat) - 1, age, steroids, inherit = as.integer(inherit), cluster = id))

record("coxph with group × level columns; contrasts; loglik", list(
  case("colon: treatment by differentiation", patients, c("lev", "both"), "differ", c("node4", "age")),
  case("colon: treatment by sex", patients, c("lev", "both"), "sex"),
  case("veteran: trial arm by cell type", veterans, "test", "celltype", "karno"),
  case("cgd: treatment by inheritance, delayed entry, patient as cluster", infections, "rIFN", "inherit", c("age", "steroids"))
))
