# Figures computed by R (stats, and package spc for run lengths), printed as "name value" for outside_test.go, which computes
# the same with this module. Run from the folder rules.
say <- function(name, value) cat(name, formatC(value, digits = 17, format = "g"), "\n")

norris <- read.csv("published/data/norris.csv")
line <- lm(y ~ x, norris)
say("norris-intercept", coef(line)[1])
say("norris-slope", coef(line)[2])
say("norris-residual-sd", summary(line)$sigma)
say("norris-slope-se", summary(line)$coefficients[2, 2])
at <- data.frame(x = 500)
say("norris-confidence-lower", predict(line, at, interval = "confidence", level = 0.95)[2])
say("norris-prediction-upper", predict(line, at, interval = "prediction", level = 0.95)[3])

arsenic <- read.csv("published/data/arsenic.csv")
line <- lm(measured ~ actual, arsenic)
say("arsenic-slope", coef(line)[2])
meets <- function(x, side) predict(line, data.frame(actual = x), interval = "prediction", level = 0.90)[side] - 3
say("arsenic-lower", uniroot(meets, c(0, 7), side = 3, tol = 1e-13)$root)
say("arsenic-upper", uniroot(meets, c(0, 7), side = 2, tol = 1e-13)$root)

lottery <- read.csv("published/data/lottery.csv")[[1]]
say("lottery-mean", mean(lottery))
say("lottery-sd", sd(lottery))
say("lottery-lag1", acf(lottery, lag.max = 1, plot = FALSE)$acf[2])

for (k in list(c(18, 20), c(45, 50), c(9, 10))) {
  limits <- binom.test(k[1], k[2])$conf.int
  say(paste0("share-", k[1], "-", k[2], "-lower"), limits[1])
  say(paste0("share-", k[1], "-", k[2], "-upper"), limits[2])
}

gauge <- read.csv("published/data/gauge-20x3x2.csv")
gauge$part <- factor(gauge$part)
gauge$operator <- factor(gauge$operator)
squares <- summary(aov(y ~ part * operator, gauge))[[1]]
for (i in 1:4) {
  say(paste0("gauge-ss-", i), squares[i, 2])
}
say("gauge-p-interaction", pf(squares[3, 3] / squares[4, 3], squares[3, 1], squares[4, 1], lower.tail = FALSE))

say("probability-57", pnorm(8 / 5) - pnorm(-122 / 5))
say("probability-73", pnorm(-8 / 5) - pnorm(-138 / 5))
say("coverage-4", qt((1 + 0.9545) / 2, 4))
say("coverage-16", qt(0.995, 16))

if (requireNamespace("spc", quietly = TRUE)) {
  say("ewma-0.2-3-0", spc::xewma.arl(0.2, 3, 0, sided = "two", r = 60))
  say("ewma-0.1-2.7-1", spc::xewma.arl(0.1, 2.7, 1, sided = "two", r = 60))
  say("cusum-0.5-5-0", spc::xcusum.arl(0.5, 5, 0, sided = "two", r = 60))
  say("cusum-0.5-4-1", spc::xcusum.arl(0.5, 4, 1, sided = "two", r = 60))
  say("cusum-0.5-4-1-fast", spc::xcusum.arl(0.5, 4, 1, hs = 2, sided = "two", r = 60))
}
