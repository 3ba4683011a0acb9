# Fine and Gray's risk sets by hand: those with a competing event go on from event time to event time, with a weight that is estimated in
# each group apart.

# Weight of follow-up of one group before t: events before censorings, entry in reversed time (Geskus 2011, Biometrics 67:39)
followed <- function(g) {
  censored <- sort(unique(g$exit[g$event == 0]))
  staying <- vapply(censored, function(v) 1 - sum(g$exit == v & g$event == 0) / sum(g$entry < v & (g$exit > v | (g$exit == v & g$event == 0))), 0)
  entered <- sort(unique(g$entry[g$entry >= 0]))
  coming <- vapply(entered, function(u) 1 - sum(g$entry == u) / sum(g$entry <= u & g$exit > u), 0)
  before <- c(1, cumprod(staying))
  after <- c(rev(cumprod(rev(coming))), 1)
  function(t) ifelse(t > max(g$exit), 0, before[findInterval(t, censored, left.open = TRUE) + 1] * after[findInterval(t, entered, left.open = TRUE) + 1])
}

# `data` has entry, exit and event: 1 of interest, above 1 competing. Adds start, stop, status and weight.
lingering <- function(data, group) {
  times <- sort(unique(data$exit[data$event == 1]))
  pieces <- lapply(split(data, group), function(g) {
    weight <- followed(g)
    of <- which(g$event > 1)
    later <- lapply(g$exit[of], function(t) times[times > t])
    n <- lengths(later)
    longer <- g[rep(of, n), ]
    longer$start <- unlist(Map(function(t, stops) c(t, head(stops, -1))[seq_along(stops)], g$exit[of], later))
    longer$stop <- unlist(later)
    longer$status <- rep(0, nrow(longer))
    longer$weight <- weight(longer$stop) / rep(weight(g$exit[of]), n)
    rbind(transform(g, start = entry, stop = exit, status = as.numeric(event == 1), weight = 1), longer[longer$weight > 0, ])
  })
  do.call(rbind, pieces)
}
