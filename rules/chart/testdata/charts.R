# The charts of 100 000 values in base R, each timed inside R so that its start does not count: "name seconds".
set.seed(1)
x <- rnorm(1e5)
say <- function(name, f) cat(name, min(replicate(3, system.time(f())["elapsed"])), "\n")
run <- function(flags, n) { # points at which flags have held n times in a row
  r <- rle(flags)
  pos <- sequence(r$lengths)
  which(rep(r$values, r$lengths) & pos >= n)
}
say("individuals", function() {
  centre <- mean(x); sigma <- mean(abs(diff(x))) / 1.128379
  z <- (x - centre) / sigma
  d <- sign(diff(z))
  two <- as.integer(z > 2); one <- as.integer(z > 1); low2 <- as.integer(z < -2); low1 <- as.integer(z < -1)
  list(which(abs(z) > 3), run(z > 0, 9), run(z < 0, 9), run(d > 0, 5), run(d < 0, 5), run(c(FALSE, d[-1] * d[-length(d)] < 0), 13),
    which(two == 1 & stats::filter(two, rep(1, 3), sides = 1) >= 2), which(low2 == 1 & stats::filter(low2, rep(1, 3), sides = 1) >= 2),
    which(one == 1 & stats::filter(one, rep(1, 5), sides = 1) >= 4), which(low1 == 1 & stats::filter(low1, rep(1, 5), sides = 1) >= 4),
    run(abs(z) <= 1, 15), run(abs(z) > 1, 8))
})
say("ewma", function() {
  centre <- mean(x); sigma <- mean(abs(diff(x))) / 1.128379
  z <- stats::filter(0.2 * x, 0.8, method = "recursive", init = centre)
  w <- 3 * sigma * sqrt(0.2 / 1.8 * (1 - 0.8^(2 * seq_along(x))))
  which(abs(z - centre) > w)
})
say("cusum", function() {
  centre <- mean(x); sigma <- mean(abs(diff(x))) / 1.128379
  z <- (x - centre) / sigma
  high <- numeric(length(z)); low <- high; h <- 0; l <- 0
  for (i in seq_along(z)) { h <- max(0, h + z[i] - 0.5); l <- max(0, l - z[i] - 0.5); high[i] <- h; low[i] <- l }
  which(high > 5 | low > 5)
})
m <- matrix(x, ncol = 5, byrow = TRUE)
say("mean-range", function() {
  means <- rowMeans(m); ranges <- apply(m, 1, function(v) max(v) - min(v))
  which(abs(means - mean(means)) > 3 * mean(ranges) / 2.325929 / sqrt(5))
})
