# Every figure of the outcomes page of the demo, from outcomes.csv (which TestOutcomesAgain writes with -update) into outcomes-r.json.
# Rscript outcomes.R, in this folder; base R with the package survival (Debian's r-cran-survival). The test needs the JSON only.
library(survival)

d <- read.csv("outcomes.csv", stringsAsFactors = FALSE)
on <- as.Date("2026-05-04") # demoNow
d$operated_on <- as.Date(d$operated_on)
monthsOn <- lapply(strsplit(as.character(d$months), " "), as.integer)
blanked <- 90 / 30.4375
due <- function(m) as.Date(sapply(d$operated_on, function(day) as.character(seq(day, by = paste(m, "months"), length.out = 2)[2]))) <= on

figures <- function(month) {
  f <- list(operations = nrow(d))
  put <- function(name, value) f[[name]] <<- unname(value)

  # how complete the follow-up is: Wilson's limits are prop.test's without correction
  complete <- function(name, done, n) {
    ci <- prop.test(done, n, correct = FALSE)$conf.int
    for (x in list(c("due", n), c("done", done), c("share", done / n), c("low", ci[1]), c("high", ci[2]))) put(paste0("complete.", name, ".", x[1]), as.numeric(x[2]))
  }
  all <- c(0, 0)
  for (m in c(3, 6, 12)) {
    asked <- due(m) & (is.na(d$died) | m <= d$died)
    done <- asked & sapply(monthsOn, function(list) m %in% list)
    all <- all + c(sum(done), sum(asked))
    complete(m, sum(done), sum(asked))
  }
  complete(0, all[1], all[2])

  # freedom
  failed <- !is.na(d$failed)
  known <- failed | !is.na(d$free)
  time <- ifelse(failed, d$failed, d$free)
  early <- ifelse(failed, ifelse(is.na(d$free), blanked, d$free), d$free)
  for (by in c("scope", "pattern")) {
    group <- d[[by]]
    for (id in unique(group)) {
      here <- group == id & known
      name <- paste0(by, ".", id, ".")
      put(paste0(name, "n"), sum(here)); put(paste0(name, "events"), sum(failed[here]))
      put(paste0(name, "on_drug"), sum(failed[here] & d$why[here] == "drug")); put(paste0(name, "unknown"), sum(group == id & !known))
      if (sum(here) < 10 || max(time[here]) < month) next
      at <- summary(survfit(Surv(time[here], failed[here]) ~ 1, conf.type = "log-log"), times = month)
      put(paste0(name, "share"), at$surv); put(paste0(name, "risk"), sum(time[here] >= month))
      if (at$surv < 1 && at$surv > 0) { put(paste0(name, "low"), at$lower); put(paste0(name, "high"), at$upper) }
      put(paste0(name, "earliest"), summary(survfit(Surv(early[here], failed[here]) ~ 1), times = month, extend = TRUE)$surv)
    }
    enough <- names(which(table(group[known]) >= 10))
    here <- known & group %in% enough
    if (length(enough) > 1 && sum(failed[here]) >= 5) {
      test <- survdiff(Surv(time[here], failed[here]) ~ factor(group[here], enough))
      put(paste0(by, ".freedom"), length(enough) - 1)
      put(paste0(by, ".square"), test$chisq); put(paste0(by, ".p"), pchisq(test$chisq, length(enough) - 1, lower.tail = FALSE))
      for (i in seq_along(enough)) {
        name <- paste0(by, ".", enough[i], ".")
        put(paste0(name, "tested"), test$n[i]); put(paste0(name, "observed"), test$obs[i]); put(paste0(name, "expected"), test$exp[i])
      }
    }
  }

  # pacemakers, with death in the way
  early_paced <- d$early_paced == 1
  cause <- ifelse(early_paced | !is.na(d$paced), 1, ifelse(!is.na(d$died), 2, 0))
  when <- ifelse(early_paced, d$early, ifelse(!is.na(d$paced), d$paced, ifelse(!is.na(d$died), d$died, pmax(d$early, d$seen, na.rm = TRUE))))
  for (id in unique(d$scope)) {
    here <- d$scope == id
    name <- paste0("pacemaker.", id, ".")
    put(paste0(name, "n"), sum(here)); put(paste0(name, "events"), sum(cause[here] == 1)); put(paste0(name, "deaths"), sum(cause[here] == 2))
    if (sum(here) < 10 || max(when[here]) < month) next
    put(paste0(name, "risk"), sum(when[here] >= month))
    if (sum(cause[here] == 1 & when[here] <= month) == 0) { put(paste0(name, "share"), 0); next }
    fit <- survfit(Surv(when[here], factor(cause[here], 0:2)) ~ 1, conf.type = "log-log")
    at <- summary(fit, times = month)
    column <- which(fit$states == "1")
    put(paste0(name, "share"), at$pstate[1, column]); put(paste0(name, "low"), at$lower[1, column]); put(paste0(name, "high"), at$upper[1, column])
  }

  # sites and surgeons; observed and expected by AF pattern
  asked <- due(month)
  bad <- failed & d$failed <= month
  seen <- asked & (bad | (known & time >= month))
  target <- mean(!bad[seen])
  risk <- rep(NA, nrow(d))
  for (p in unique(d$pattern[seen])) { of <- seen & d$pattern == p; risk[of] <- (sum(bad[of]) + 0.5) / (sum(of) + 1) }
  for (by in c("site", "surgeon")) {
    put(paste0(by, ".target"), target)
    z <- c()
    for (id in unique(d[[by]][asked])) {
      of <- seen & d[[by]] == id
      n <- sum(of); free <- sum(!bad[of]); events <- sum(bad[of]); expected <- sum(risk[of])
      z[id] <- (free / n - target) / sqrt(target * (1 - target) / n)
      chance <- min(pbinom(free, n, target), pbinom(free - 1, n, target, lower.tail = FALSE))
      ci <- poisson.test(events)$conf.int / expected
      row <- c(due = sum(asked & d[[by]] == id), n = n, free = free, share = free / n, z = z[[id]], outside = (chance < 0.025) + (chance < 0.001), observed = events, expected = expected,
        difference = events - expected, ratio = events / expected, low = ci[1], high = ci[2])
      for (x in names(row)) put(paste0(by, ".", id, ".", x), row[[x]])
    }
    cut <- max(1, ceiling(0.1 * length(z)))
    put(paste0(by, ".phi"), mean(pmin(pmax(z, sort(z)[cut]), sort(z)[length(z) - cut + 1])^2))
  }
  put("running.n", sum(seen)); put("running.observed", sum(bad[seen])); put("running.expected", sum(risk[seen]))
  sums <- cumsum(bad[seen] - risk[seen])
  for (i in seq_along(sums)) { put(paste0("running.", i), sums[i]); put(paste0("running.", i, ".risk"), risk[seen][i]) }
  f
}

# What the charts draw: curves with limits and those still followed, and the funnels' limits. A line is drawn from the operation to the last
# month followed; a band where there are limits, and on to that month.
drawn <- function(month) {
  f <- list()
  put <- function(name, value) f[[name]] <<- unname(value)
  points <- function(name, x, y = NULL, low = NULL, high = NULL, n = NULL) for (i in seq_along(x)) {
    here <- paste0(name, ".", i, ".")
    put(paste0(here, "x"), x[i])
    for (one in list(list("y", y), list("low", low), list("high", high), list("n", n))) if (!is.null(one[[2]])) put(paste0(here, one[[1]]), one[[2]][i])
  }
  followed <- function(name, time, longest) for (m in 0:(12 * max(1, ceiling(longest / 12)))) put(paste0(name, "risk.", m), sum(time >= m))

  failed <- !is.na(d$failed)
  known <- failed | !is.na(d$free)
  time <- ifelse(failed, d$failed, d$free)
  for (by in c("scope", "pattern")) {
    groups <- Filter(function(id) sum(d[[by]] == id & known) >= 10, unique(d[[by]]))
    longest <- max(time[known & d[[by]] %in% groups])
    put(paste0("freedom.", by, ".n"), sum(known & d[[by]] %in% groups))
    for (id in groups) {
      here <- d[[by]] == id & known
      name <- paste0("freedom.", by, ".", id, ".")
      fit <- summary(survfit(Surv(time[here], failed[here]) ~ 1, conf.type = "log-log"))
      followed(name, time[here], longest)
      until <- max(time[here])
      on <- if (length(fit$time) == 0 || until > max(fit$time)) until else c()
      last <- c(1, fit$surv)[length(fit$surv) + 1]
      points(paste0(name, "line"), c(0, fit$time, on), y = c(1, fit$surv, if (!is.null(on)) last))
      if (length(fit$time) == 0) next
      points(paste0(name, "dot"), fit$time, y = fit$surv, n = fit$n.risk)
      limited <- fit$surv > 0
      low <- c(1, fit$lower[limited]); high <- c(1, fit$upper[limited])
      more <- if (!is.null(on) && last > 0) on
      points(paste0(name, "band"), c(0, fit$time[limited], more), low = c(low, if (!is.null(more)) tail(low, 1)), high = c(high, if (!is.null(more)) tail(high, 1)))
    }
  }

  early_paced <- d$early_paced == 1
  cause <- ifelse(early_paced | !is.na(d$paced), 1, ifelse(!is.na(d$died), 2, 0))
  when <- ifelse(early_paced, d$early, ifelse(!is.na(d$paced), d$paced, ifelse(!is.na(d$died), d$died, pmax(d$early, d$seen, na.rm = TRUE))))
  groups <- Filter(function(id) sum(d$scope == id) >= 10, unique(d$scope))
  longest <- max(when[d$scope %in% groups])
  put("pacemaker.n", sum(d$scope %in% groups))
  for (id in groups) {
    here <- d$scope == id
    name <- paste0("pacemaker.", id, ".")
    followed(name, when[here], longest)
    until <- max(when[here])
    if (!any(cause[here] == 1)) { points(paste0(name, "line"), c(0, until), y = c(0, 0)); next }
    fit <- summary(survfit(Surv(when[here], factor(cause[here], 0:2)) ~ 1, conf.type = "log-log"))
    own <- fit$n.event[, which(fit$states == "1")] > 0
    column <- function(of) of[own, which(fit$states == "1")]
    x <- fit$time[own]; y <- column(fit$pstate); low <- column(fit$lower); high <- column(fit$upper)
    on <- if (until > max(x)) until
    points(paste0(name, "line"), c(0, x, on), y = c(0, y, if (!is.null(on)) tail(y, 1)))
    points(paste0(name, "dot"), x, y = y, n = if (is.matrix(fit$n.risk)) fit$n.risk[own, 1] else fit$n.risk[own])
    points(paste0(name, "band"), c(x, on), low = c(low, if (!is.null(on)) tail(low, 1)), high = c(high, if (!is.null(on)) tail(high, 1)))
  }

  # the limits between two counts as Spiegelhalter 2005, 10.1002/sim.1970, puts them; none where even all or none free is likely enough
  asked <- due(month)
  bad <- failed & d$failed <= month
  seen <- asked & (bad | (known & time >= month))
  target <- mean(!bad[seen])
  limit <- function(n, tail) {
    if (tail < 0.5 && (1 - target)^n >= tail) return(0)
    if (tail > 0.5 && target^n >= 1 - tail) return(1)
    r <- qbinom(tail, n, target)
    min(1, max(0, (r - (pbinom(r, n, target) - tail) / dbinom(r, n, target)) / n))
  }
  for (by in c("site", "surgeon")) {
    name <- paste0("funnel.", by, ".")
    units <- Filter(function(id) any(seen & d[[by]] == id), unique(d[[by]]))
    ns <- sapply(units, function(id) sum(seen & d[[by]] == id))
    for (id in units) { put(paste0(name, id, ".n"), ns[[id]]); put(paste0(name, id, ".share"), mean(!bad[seen & d[[by]] == id])) }
    put(paste0(name, "n"), sum(ns))
    widest <- max(ns) + max(3, max(ns) %/% 10)
    stopifnot(widest < 160) # the chart draws every number of cases until then
    for (edge in list(list("inner", 0.025), list("outer", 0.001))) {
      x <- 3:widest
      points(paste0(name, edge[[1]]), x, low = sapply(x, limit, edge[[2]]), high = sapply(x, limit, 1 - edge[[2]]))
    }
  }
  f
}

json <- function(f) paste0("{\n", paste0("    \"", names(f), "\": ", sapply(f, function(x) format(x, digits = 10)), collapse = ",\n"), "\n  }")
cat("{\n  \"6\": ", json(figures(6)), ",\n  \"12\": ", json(figures(12)), ",\n  \"6 drawn\": ", json(drawn(6)), ",\n  \"12 drawn\": ", json(drawn(12)), "\n}\n", sep = "", file = "outcomes-r.json")
