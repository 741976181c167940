package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/routedrawing"
	"plumbrule/cmd/plumbrule/internal/routefile"
	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// routeOptions are the flags of route.
type routeOptions struct {
	mpe            *parsed[quantity.MPE]
	steps          *parsed[int]
	svg            *string
	advise, strict *bool
}

func newRouteCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "route FILE [FLAGS]",
		Short: "in which way to join measuring volumes, so that the bound stays small",
		Long: "The bound between two measuring volumes grows with the path travelled from one to the other, through the volumes between them. " +
			"From the volumes of a file and the joins that are possible, route finds the joins to use: a tree that branches out from a centre, " +
			"whose worst path is the shortest of all trees. Where the file names pairs with tolerances, the worst share of a tolerance counts " +
			"instead. It says how far that is proven, compares it with a chain, and lists the order to scan in.\n\n" +
			"The file is TOML. At its head: unit, of bare figures, such as \"mm\"; mpe, the limit of the device between volumes; reach, if all " +
			"volumes no farther apart are joined where nothing stands between them; chain, a list of volumes to compare with, or \"nearest\" (to " +
			"the nearest volume not yet scanned; if nothing is said) or \"around\" (around the part, seen from above); title.\n\n" +
			"[[volume]] has name and at = [x, y, z], its middle; radius or size = [x, y, z]; bridge = true for one that only joins others. " +
			"[[join]] has from, to and length, the path travelled; the straight line without. [[pair]] has from, to and tolerance, between " +
			"volumes or features, and its share is the bound over the tolerance as written (choose takes half of a zone's width); without pairs, all count alike. [[feature]] has name, at and in, its volume. [[obstacle]] has shape = \"box\" " +
			"(from, to), \"ball\" (at, radius) or \"cylinder\" (from, to, radius), and name. [[frame]] has name, volumes and bound: an artifact or a " +
			"photogrammetric frame that ties volumes whatever the path. [bar] has bound and longest: a calibrated length that could be laid, " +
			"for advice. [part] has from, to, volume = [x, y, z] and overlap: volumes are laid over that box; or, in place of from and to, mesh, a file of the " +
			"part's surface (STL, PLY, OBJ or a point cloud, named from the folder of this file), and mesh-unit where its format has none: volumes are laid " +
			"where it has points, so its triangles should not be larger than a volume.",
		Example: `  plumbrule route routes/propeller-spokes.toml

  # what one more join, bridge or calibrated length would bring, and a drawing
  plumbrule route routes/propeller-blocked.toml --advise --svg route.svg

  # the same with another device
  plumbrule route routes/propeller-spokes.toml --mpe "30 µm + 40 µm/m"`,
		GroupID: groupReckon,
		Annotations: seeAlso(statuses(
			"0", "planned",
			"1", "with --strict: a bound is greater than its tolerance",
			"2", "the command line cannot be used",
			"3", "the file cannot be read or used, or its volumes cannot be joined",
		), "growth", "decide"),
	}
	o := &routeOptions{}
	f := flagsOf(cmd)
	f.head("What is asked for")
	o.mpe = readFlag(f, "mpe", "the `LIMIT` between volumes in place of the file's, such as \"20 µm + 15 µm/m\"", quantity.ParseMPE)
	o.advise = f.yes("advise", "say what one more join, bridge or calibrated length would bring")
	o.steps = f.whole("steps", "search for at most `N` steps; more may prove more", int(route.UsualEffort), 1000, min(1_000_000_000_000, math.MaxInt))
	o.strict = f.strict()
	f.head("Drawing")
	o.svg = f.text("svg", "write the drawing, from above and from the side, to this `FILE`")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch len(args) {
		case 0:
			return misused("no file, expected the one with the volumes", `name it, for example "plumbrule route routes/propeller-spokes.toml", or - for standard input`)
		case 1:
			return o.run(e, cmd, args[0])
		}
		return noOperands(cmd, args[1:])
	}
	return cmd
}

// routed is a plan with the chain beside it.
type routed struct {
	file    *routefile.File
	name    string
	plan    *route.Plan
	chain   *route.Chain
	noChain string        // why there is no chain
	advice  *route.Advice // nil: not asked for
}

func (o *routeOptions) run(e *env, cmd *cobra.Command, name string) error {
	shown, text, err := e.readInput(name)
	if err != nil {
		return err
	}
	file, problems := routefile.Read(shown, text, routefile.Options{
		MPE: o.mpe.value, Points: func(mesh, unit string) ([]space.Point, error) { return e.meshPoints(cmd.Context(), name, mesh, unit) },
	})
	if len(problems) > 0 {
		return e.complainRoute(shown, problems)
	}
	r := &routed{file: file, name: shown}
	if r.plan, err = route.Find(file.Task, route.Effort(o.steps.value)); err != nil {
		return e.refuseRoute(r, err)
	}
	if err := r.walk(); err != nil {
		return e.refuseRoute(r, err)
	}
	if *o.advise {
		advice, err := r.plan.Advise(0)
		if err != nil {
			return e.refuseRoute(r, err)
		}
		r.advice = &advice
	}
	if *o.svg != "" {
		if err := e.writeOutput(*o.svg, func(w io.Writer) error { return routedrawing.SVG(w, r.picture(), "route") }); err != nil {
			return err
		}
	}
	if err := e.print(formatOf(cmd), r.answer()); err != nil {
		return err
	}
	return attention(*o.strict, r.exceeds() > 0)
}

// walk computes the chain. One that the file writes out must be possible; one that was to be found may be absent.
func (r *routed) walk() error {
	order := r.file.Chain
	switch {
	case order != nil:
	case r.file.ChainBy == routefile.Around:
		order = r.plan.RoundOrder()
	default:
		order = r.plan.NearestOrder("")
	}
	var err error
	if r.chain, err = r.plan.Chain(order); err != nil {
		r.chain = nil
	}
	if r.file.Chain != nil {
		return err
	}
	// An order that was found and leaves volumes out is no match for a tree that has them all.
	if refused, is := errors.AsType[*route.InputError](err); is {
		r.noChain, err = refused.Found, nil
	} else if err == nil && len(r.chain.LeftOut) > 0 {
		r.noChain, r.chain = "joins alone do not lead from "+order[0]+" to "+shortList(r.chain.LeftOut), nil
	}
	return err
}

// complainRoute prints what is wrong with a file.
func (e *env) complainRoute(name string, problems []routefile.Problem) error {
	for _, p := range problems {
		fmt.Fprint(e.Stderr, p)
	}
	return unreadable(fmt.Sprintf("%s in %s, listed above", counted(len(problems), "error"), name), `mend the file; "plumbrule help route" lists its keys`, nil)
}

// refuseRoute prints what the rules refuse, with its place in the file.
func (e *env) refuseRoute(r *routed, err error) error {
	if p, ok := r.file.Locate(err); ok {
		return e.complainRoute(r.name, []routefile.Problem{p})
	}
	if apart, is := errors.AsType[*route.ApartError](err); is {
		mend := "add joins between them"
		if len(apart.Missing) > 0 {
			mend = "add " + missingJoins(apart.Missing)
		}
		if r.file.Task.ReachMM > 0 {
			mend += ", raise the reach, or add a volume between them"
		}
		return unreadable(r.name+": "+err.Error(), mend, err)
	}
	return unreadable(r.name+": "+err.Error(), "", err)
}

func missingJoins(list []route.Missing) string {
	var names []string
	for i, m := range list {
		if i == 3 {
			names = append(names, strconv.Itoa(len(list)-i)+" more")
			break
		}
		names = append(names, fmt.Sprintf("%s to %s", m.From, m.To))
	}
	if len(names) == 1 {
		return "a join " + names[0]
	}
	return "joins " + strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// exceeds counts the pairs whose bound is greater than their tolerance.
func (r *routed) exceeds() (n int) {
	for _, w := range r.plan.Pairs {
		if w.Share.Value != nil && *w.Share.Value > 1 {
			n++
		}
	}
	return n
}
