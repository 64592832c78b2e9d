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
      put(paste0(by, ".square"), test$chisq); put(paste0(by, ".p"), pchisq(test$chisq, length(enough) - 1, lower.tail = FALSE))
      for (i in seq_along(enough)) put(paste0(by, ".", enough[i], ".expected"), test$exp[i])
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
  for (i in seq_along(sums)) put(paste0("running.", i), sums[i])
  f
}

json <- function(f) paste0("{\n", paste0("    \"", names(f), "\": ", sapply(f, function(x) format(x, digits = 10)), collapse = ",\n"), "\n  }")
cat("{\n  \"6\": ", json(figures(6)), ",\n  \"12\": ", json(figures(12)), "\n}\n", sep = "", file = "outcomes-r.json")
