# The work of BenchmarkThousandTrainees (competency/internal/published/speed_test.go) in R, timed part by part: 1,000 trainees x 300 cases.
# Per trainee: the learning-curve CUSUM, log odds of success on ln(case) with the case at which 80 % is reached and Fieller limits, Wilson's
# interval after every case, and the exact interval of all cases. Over all ratings: trainees and assessors crossed, restricted maximum
# likelihood, with every assessor's shrunken severity and its standard error. Vectorised where R can be; glm.fit, not glm.
# The fit is lme4's, as R is used, where it is installed; and the same criterion in base R with our own short cut (trainees eliminated, counts
# in place of ratings), which says how much of the difference is the short cut and how much the language. Prints: part, seconds, check sum.
have <- requireNamespace("lme4", quietly = TRUE)
trainees <- 1000; cases <- 300; assessors <- 40; level <- 0.9

# the same numbers as in Go: Park and Miller's generator, exact in a double
draw <- function(n) { x <- 1; u <- numeric(n); for (i in seq_len(n)) { x <- (16807 * x) %% 2147483647; u[i] <- x / 2147483647 }; u }
u <- draw(trainees + assessors + trainees * cases * 4)
ability <- 2 * u[1:trainees] - 1
severity <- u[trainees + 1:assessors] - 0.5
m <- matrix(u[-(1:(trainees + assessors))], 4)            # a case: assessor, outcome, two for the rating
who <- rep(1:trainees, each = cases); case <- rep(1:cases, trainees)
assessor <- floor(m[1, ] * assessors) + 1
success <- as.numeric(m[2, ] < plogis(-0.8 + 0.5 * log(case) + ability[who]))
rating <- 3 + ability[who] - severity[assessor] + 1.5 * (m[3, ] + m[4, ] - 1)

timed <- function(name, work) {
  gc(FALSE); t <- system.time(sum <- work())[["elapsed"]]; cat(sprintf("%s %.4f %.6g\n", name, t, sum))
}
z <- qnorm((1 + level) / 2)

curves <- function() {
  total <- 0; p0 <- 0.1; delta <- 0.1; X <- cbind(1, log(1:cases)); family <- binomial()
  ws <- log((1 - p0) / (1 - p0 - delta)); wf <- log(p0 / (p0 + delta)); wanted <- qlogis(0.8)
  for (t in 1:trainees) {
    y <- success[(t - 1) * cases + 1:cases]
    walk <- cumsum(ifelse(y == 1, ws, wf)); path <- walk - pmin(0, cummin(walk))  # the recursion max(0, S + w), without a loop
    f <- glm.fit(X, y, family = family, control = list(epsilon = 1e-12, maxit = 60))
    b <- f$coefficients; V <- chol2inv(f$qr$qr)
    at <- (wanted - b[1]) / b[2]
    a <- b[2]^2 - z^2 * V[2, 2]; k <- 2 * (b[2] * (b[1] - wanted) - z^2 * V[1, 2]); c <- (b[1] - wanted)^2 - z^2 * V[1, 1]
    r <- k^2 - 4 * a * c
    limits <- if (b[2] > 0 && a > 0 && r >= 0) (-k + c(-1, 1) * sqrt(r)) / (2 * a) else c(NA, NA)
    total <- total + path[cases] + if (is.na(limits[1])) 0 else at + sum(limits)
  }
  total
}
intervals <- function() {
  total <- 0
  for (t in 1:trainees) {
    x <- cumsum(success[(t - 1) * cases + 1:cases]); n <- 1:cases; p <- x / n
    reach <- z * sqrt(z^2 + 4 * n * p * (1 - p))
    total <- total + sum((2 * x + z^2 - reach) / (2 * (n + z^2))) + sum((2 * x + z^2 + reach) / (2 * (n + z^2)))
    x <- x[cases]
    total <- total + (if (x == 0) 0 else qbeta((1 - level) / 2, x, cases - x + 1)) + (if (x == cases) 1 else qbeta((1 + level) / 2, x + 1, cases - x))
  }
  total
}
d <- data.frame(rating, t = factor(who), a = factor(assessor))
by_lme4 <- function() {
  fit <- lme4::lmer(rating ~ 1 + (1 | t) + (1 | a), d)
  v <- as.data.frame(lme4::VarCorr(fit)); effect <- lme4::ranef(fit, condVar = TRUE)
  se <- sqrt(attr(effect$a, "postVar")[1, 1, ])
  sum(v$vcov) + sum(abs(effect$a[, 1])) + 0 * sum(se)
}
by_base <- function() {                                      # the profiled criterion, trainees eliminated, assessors dense
  y <- rating - mean(rating); n <- length(y); N <- table(who, assessor); N <- matrix(N, trainees); nt <- rowSums(N); na <- colSums(N)
  yt <- rowsum(y, who)[, 1]; ya <- rowsum(y, assessor)[, 1]
  at <- function(r) {
    D <- 1 + r[1]^2 * nt; W <- r[1] * r[2] * N; A <- diag(assessors) + diag(r[2]^2 * na) - crossprod(W / sqrt(D))
    R <- chol(A); rhs <- r[2] * cbind(na, ya) - crossprod(W, r[1] * cbind(nt, yt) / D); s <- backsolve(R, forwardsolve(t(R), rhs))
    q <- function(u, v, ut, vt, i, j) u - sum(r[1]^2 * ut * vt / D) - sum(rhs[, i] * s[, j])
    w <- q(n, 0, nt, nt, 1, 1); my <- q(sum(y), 0, nt, yt, 1, 2); yy <- q(sum(y^2), 0, yt, yt, 2, 2)
    rest <- yy - my^2 / w
    list(dev = sum(log(D)) + 2 * sum(log(diag(R))) + log(w) + (n - 1) * (1 + log(2 * pi * rest / (n - 1))), var = rest / (n - 1), effect = r[2] * (s[, 2] - s[, 1] * my / w), se = r[2] * sqrt(rest / (n - 1) * diag(chol2inv(R))))
  }
  o <- optim(c(1, 1), function(r) at(r)$dev, control = list(reltol = 1e-12)); f <- at(o$par)
  f$var * (1 + sum(o$par^2)) + sum(abs(f$effect))
}
timed("curves", curves)
timed("intervals", intervals)
if (have) timed("severity(lme4)", by_lme4)
timed("severity(base)", by_base)
