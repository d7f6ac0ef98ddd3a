// Before this text stand `data` and `functions`: the calculations of the sheets, line by line.
"use strict";

const lookUp = {
  // By straight line between two rows; the ends hold beyond the ends.
  linear(x, table) {
    const { xs, ys } = data.tables[table];
    const last = xs.length - 1;
    if (Number.isNaN(x)) return NaN;
    if (x <= xs[0]) return ys[0];
    if (x >= xs[last]) return ys[last];
    const upper = xs.findIndex((each) => each > x);
    const slope = (ys[upper] - ys[upper - 1]) / (xs[upper] - xs[upper - 1]);
    return slope * (x - xs[upper - 1]) + ys[upper - 1];
  },
  // A size counts as reached within a billionth.
  next(x, table) {
    const { xs } = data.tables[table];
    if (Number.isNaN(x)) return NaN;
    return xs.find((size) => size * (1 + data.same) >= x) ?? xs[xs.length - 1];
  },
};
const across = {
  max: (stations, value) => Math.max(...stations.map(value)),
  min: (stations, value) => Math.min(...stations.map(value)),
  all: (stations, value) => stations.every(value),
  any: (stations, value) => stations.some(value),
};
const compute = functions(lookUp, across);

// Numbers as the sheet prints them

function positional(value, digits = 6) {
  if (!Number.isFinite(value)) return "–";
  if (Math.abs(value) < data.noise) return "0";
  if (Number.isInteger(value) && Math.abs(value) < 1e15) return String(value);
  const exponent = Number(value.toExponential(digits - 1).split("e")[1]);
  const text = value.toFixed(Math.min(Math.max(digits - 1 - exponent, 0), 100));
  return text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
}

// Free of the last binary digits of a conversion, as on the sheet.
const inMillimetres = (t, system) => Number((t * (system === "US" ? data.mmPerInch : 1)).toFixed(9));
const inInches = (t, system) => t / (system === "US" ? 1 : data.mmPerInch);

// A round number of millimetres, and not of inches, as in `methods.thickness`.
const isRound = (value) =>
  Math.abs(Number(value.toPrecision(data.figures)) - value) < data.noise * Math.abs(value);
const givenInMillimetres = (t, system) =>
  isRound(inMillimetres(t, system)) && !isRound(inInches(t, system));

function bothUnits(t, system) {
  const millimetres = `${positional(inMillimetres(t, system), data.figures)} mm`;
  if (givenInMillimetres(t, system)) return millimetres;
  return `${millimetres} (${positional(inInches(t, system), data.figures)} in)`;
}

function withUnit(value, { unit, thickness }, system) {
  const text = `${positional(value)} ${unit}`.trim();
  if (!thickness) return text;
  if (value === 0 || givenInMillimetres(value, system)) {
    return `${positional(inMillimetres(value, system))} mm`;
  }
  const [other, name] =
    system === "US" ? [inMillimetres(value, system), "mm"] : [inInches(value, system), "in"];
  return `${text} (${positional(other, data.figures)} ${name})`;
}

// Cut and not rounded, so that 1.999 never reads 2.00.
const factor = (value) =>
  value === null ? "-" : (Math.trunc(value * 100 + 1e-7) / 100).toFixed(2);

// Calculation

const applies = (line, values) => line.when === null || compute[line.when](values);

function run(lines, values) {
  const known = { ...values };
  for (const line of lines) {
    // A number in place of what the project says in words needs no line.
    const stated = known[`${line.key}_stated`];
    known[line.key] = stated ?? (applies(line, known) ? compute[line.value](known) : 0);
  }
  return known;
}

// Verdicts in their order; each is a function of the values and of those before it.
function judged(verdicts, values) {
  for (const [key, verdict] of verdicts) values[key] = compute[verdict](values);
  return values;
}

// The order of `methods.engine.design`: every station, the wall, every station again.
function design(pipe, given) {
  const calculation = data.calculations[pipe.calculation];
  const { requirement, choice, verification } = calculation;
  const first = given.map((values) => run(requirement, values));
  const [[, thickestOf]] = calculation.pipe.filter(([key]) => key === "thickest");
  const thickest = compute[thickestOf]({ stations: first });
  const chosen = run(choice, { ...first[0], t_required: thickest });
  const wall = Object.fromEntries(choice.map(({ key }) => [key, chosen[key]]));
  const final = first.map((values) =>
    judged(calculation.station, { ...run(verification, { ...values, ...wall }), thickest }));
  const worst = final.findIndex((values) => values.worst);
  const whole = { ...final[worst], stations: final };
  const legs = pipe.legs ? designLegs(pipe.legs, whole) : { serve: [], outside: false };
  const ofLegs = { legs_serve: legs.serve.every(Boolean), legs_outside: legs.outside };
  const of = judged(calculation.pipe, { ...whole, ...ofLegs });
  const checks = final.flatMap((values, i) =>
    calculation.checks
      .filter(({ name }) => values[`applies_${name}`])
      .map((check) => checked(check, values, i)));
  const finite = checks.every((check) =>
    [check.required, check.demand, check.capacity].every(Number.isFinite));
  return { calculation, first, worst, chosen, of, final, checks, finite, legs };
}

// The walls that a tube has in the legs of a line, designed at the stations that each leg has.
function designLegs(legs, whole) {
  const given = legs.places.map(({ station, wall }) => {
    const known = judged(wall, { ...whole });
    const own = Object.fromEntries(wall.map(([key]) => [key, known[key]]));
    const values = whole.stations[station];
    const q_pipe = values[legs.ovality];
    return { ...values, ...own, q_pipe, D: own.D_leg, t: own.t_bend_out ?? own.t_leg };
  });
  const built = design({ calculation: legs.calculation }, given);
  const places = legs.places.map(({ verdicts }, i) => judged(verdicts, { ...built.final[i] }));
  const serve = places.map(({ serves }) => serves);
  return { serve, outside: built.of.outside_of_pipe, places, factor: leastOf(built.of) };
}

const leastOf = (of) => (of.bore_of_pipe && of.rated_of_pipe ? of.least_factor_of_pipe : null);

function checked(check, values, station) {
  return {
    equation: check.equation,
    station,
    required: values[check.required],
    demand: values[check.demand],
    capacity: values[check.capacity],
    safety: check.safety !== null && values[`rated_${check.name}`] ? values[check.safety] : null,
    passes: values[`meets_${check.name}`],
    quantity: check.demand,
  };
}
