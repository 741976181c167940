package main

import (
	"context"
	"errors"
	"fmt"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records"
)

// recipeFile is the script for a machine that checks what was pushed. Its folder is hidden, so that nobody takes it for one of
// records.
const recipeFile = ".ci/check-records"

// hookText is the hook that git runs before a commit.
func hookText(within string) string {
	return fmt.Sprintf(`#!/bin/sh
# Before a commit: the records must be readable and free of contradiction, and
# nothing recorded may be rewritten. "git commit --no-verify" passes it by.
# Written by "plumbrule init --hooks"; change it as you like.
set -e
top=$(git rev-parse --show-toplevel)
records=$top%s
plumbrule -C "$records" history --staged --strict >&2
plumbrule -C "$records" validate --strict >&2
`, folderBelow(within))
}

// recipeText is the script for a machine that checks what was pushed.
func recipeText() string {
	return fmt.Sprintf(`#!/bin/sh
# What a machine checks after every push, in a clone with the whole past:
# a shallow one cannot tell whether anything was rewritten.
#
#   sh %s [COMMIT]
#
# COMMIT is one that was checked before: it must still be part of the past, which
# a forced push would have rewritten, and only what came after it is looked at.
# Exit status 0: all is well.
# Written by "plumbrule init --hooks"; change it as you like.
set -e
cd "$(dirname "$0")/.."
plumbrule validate --strict
plumbrule history --changes --strict ${1:+--contains "$1" --since "$1"}
`, recipeFile)
}

// folderBelow is the path of a folder behind that of another, for a shell.
func folderBelow(within string) string {
	if within == "" {
		return ""
	}
	return "/" + records.ShellQuote(within)
}

// installHooks writes the hook and the recipe for a machine, and returns what was written. Nothing that exists is touched.
func (e env) installHooks(ctx context.Context, r *repository.Repository) (written []string, err error) {
	within, err := r.Within(ctx)
	if errors.Is(err, repository.ErrNoGit) {
		return nil, unreadable("no hook can be installed: the records are "+err.Error(), `"git init", and then "plumbrule init --hooks" in the folder of the records`, err)
	}
	if err != nil {
		return nil, unreadable(err.Error(), "", err)
	}
	hook, err := r.InstallHook(ctx, "pre-commit", hookText(within))
	var exists *repository.HookExists
	var elsewhere *repository.HooksElsewhere
	const lines = "plumbrule history --staged --strict && plumbrule validate --strict"
	switch {
	case errors.As(err, &exists):
		return nil, unreadable(err.Error(), "add to it: "+lines, err)
	case errors.As(err, &elsewhere):
		return nil, unreadable(err.Error(), "add to the hook pre-commit there: "+lines, err)
	case err != nil:
		return nil, unreadable(err.Error(), "", err)
	}
	written = append(written, hook)
	switch err := r.Create(recipeFile, []byte(recipeText())); {
	case errors.Is(err, repository.ErrExists):
	case err != nil:
		return written, unreadable(err.Error(), "name a folder that can be written", err)
	default:
		written = append(written, recipeFile)
	}
	return written, nil
}
