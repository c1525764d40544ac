import type { Action, Component } from '../../../domain/intervals/types.js';
import { inCircuit, partTerm, workTerm } from '../../../domain/intervals/terms.js';
import type { StepName } from '../../../domain/job-card/steps/steps.js';
import type { LossAlertKind } from '../../../domain/loss/facts/types.js';
import { plain } from '../../../domain/quantities/wording.js';
import type { InCircuit } from '../../../domain/vehicles/circuits.js';
import { alertTerm } from '../../../platform/words/terms.js';
import type { JobCardView } from '../card/job-card.dto.js';
import { faultRows, faultsHeading, onlyNamesFaults } from './card-fault-rows.js';
import { heldRows, readingRows, releasedRows } from './card-reading-rows.js';
import { type Block, list, type Row, whole } from './card-row.js';
import { coolantRows } from './coolant-rows.js';
import { holdTestRows } from './hold-test-rows.js';
import { inCircuitText } from './in-circuit-text.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

type Blank = Parameters<typeof message<'card-page-blank'>>[1]['what'];

/** What is measured in a step and belongs in the report. */
const BLANKS: Partial<Record<StepName, readonly Blank[]>> = {
  'read-strength': ['strength'],
  'read-level': ['below'],
  drain: ['out'],
  'hold-test': ['cold', 'start', 'end', 'minutes'],
  'proof-test': ['cold', 'start', 'end', 'minutes'],
  'top-up-to-mark': ['in'],
  'top-up': ['in'],
  'road-test': ['minutes', 'distance', 'hottest'],
  recheck: ['below'],
};

/** Whether a machine counts engine hours and no distance. */
export const isHourOnly = ({ estimatedOdometer, estimatedEngineHours }: JobCardView['vehicle']): boolean =>
  estimatedOdometer === null && estimatedEngineHours !== null;

/** Names the work: what is done to which component. */
export function workInWords(
  {
    component,
    action,
    item,
    circuit,
  }: { component: string; action: string; item: string | null } & InCircuit,
  { say }: Wording,
): string {
  return say(workTerm({ component: component as Component, action: action as Action, item, circuit }));
}

/**
 * The blocks of the card between its head and its cautions, in reading order. Empty blocks are left
 * out.
 */
export function blocksOf(card: JobCardView, wording: Wording): Block[] {
  const { say } = wording;
  const blocks = [
    whole(say(message('card-page-released')), releasedRows(card, wording)),
    list(say(message('card-page-why')), causeRows(card, wording), { keep: 12, least: 2 }),
    list(faultsHeading(card, wording), faultRows(card, wording), { keep: 4, least: 1 }),
    whole(say(message('card-page-steps')), stepRows(card, wording)),
    list(say(message('card-page-parts')), partRows(card, wording), { keep: 10, least: 3 }),
    whole(say(message('card-page-coolant')), coolantRows(card, wording)),
    list(say(message('card-page-torques')), torqueRows(card, wording), { keep: 14, least: 4 }),
    whole(say(message('card-page-hold-test')), holdTestRows(card, wording)),
    list(say(message('card-page-belts')), beltRows(card, wording), { keep: 5, least: 2 }),
    list(say(message('card-page-visit')), visitRows(card, wording), { keep: 6, least: 1 }),
    list(say(message('card-page-due-anyway')), dueRows(card, wording), { keep: 6, least: 2 }),
    list(say(message('card-page-alerts')), alertRows(card, wording), { keep: 6, least: 2 }),
    list(say(message('card-page-readings')), readingRows(card, wording), { keep: 8, least: 1 }),
    list(say(message('card-page-held')), heldRows(card, wording), { keep: 3, least: 1 }),
    list(say(message('card-page-missing')), missingRows(card), { keep: 6, least: 2 }),
  ];
  return blocks.filter(({ rows }) => rows.length > 0);
}

/**
 * What is wrong, of the lines that ask for a look or a test: each cause once. The other lines say
 * what to do by themselves. Then what the coolant temperatures show besides.
 */
function causeRows(card: JobCardView, wording: Wording): Row[] {
  const told = card.lines
    .filter(({ action }) => action === 'inspect' || action === 'test')
    .flatMap(({ settles }) => settles.flatMap(({ causes }) => causes));
  const { hotDays, finding } = card.coolantTemperatures;
  const isHotTold = told.some(({ code }) => code === 'follow-up-coolant-hot');
  const texts = [
    ...told.filter((cause) => !onlyNamesFaults(cause, card)).map(({ text }) => text),
    ...(isHotTold ? [] : hotDays.map((day) => hotDayInWords(day, wording))),
    ...(finding === null ? [] : [finding.text]),
  ];
  return [...new Set(texts)].map((text) => ({ text }));
}

function hotDayInWords(
  { day, highest, alarm }: JobCardView['coolantTemperatures']['hotDays'][0],
  { say, amount, date }: Wording,
): string {
  const values = { date: date(day), highest: amount(highest), alarm: amount(alarm) };
  return say(message('card-page-hot-day', values));
}

function stepRows({ steps, vehicle }: JobCardView, { say }: Wording): Row[] {
  return steps.map(({ step, message: said, circuit, caution }) => {
    const blanks = step === 'road-test' && isHourOnly(vehicle) ? HOURS_ALONE : BLANKS[step];
    const toWrite = blanks?.map((what) => say(message('card-page-blank', { what })));
    const told = circuit === undefined ? said.text : inCircuitText(circuit, said.text, say);
    const text =
      caution === undefined
        ? told
        : say(message('card-page-step-with-caution', { what: told, caution: caution.text }));
    return { box: true, text, ...(toWrite && { blanks: toWrite }) };
  });
}

const HOURS_ALONE: readonly Blank[] = ['time', 'hottest'];

function partRows({ parts }: JobCardView, { say }: Wording): Row[] {
  return parts.map(({ component, description, quantity, partNumber, circuit }) => ({
    box: true,
    text: `${quantity} × ${description} (${say(partTerm({ component: component as Component, item: null, circuit }))})`,
    value: partNumber ?? undefined,
  }));
}

function visitRows({ visits }: JobCardView, wording: Wording): Row[] {
  return visits.flatMap(({ day, lines }) =>
    lines.map((line) => ({ text: workInWords(line, wording), value: wording.weekday(day) })),
  );
}

function dueRows({ dueAnyway, vehicle }: JobCardView, wording: Wording): Row[] {
  const { say, date } = wording;
  return dueAnyway.map((due) => {
    const unit = due.vehicle.id === vehicle.id ? '' : `${due.vehicle.unitNumber}: `;
    const state = due.state === 'window' || due.state === 'due' || due.state === 'late' ? due.state : 'none';
    return {
      box: true,
      text: `${unit}${workInWords(due, wording)}`,
      value: say(
        due.dueOn === null
          ? message('card-page-due-state', { state })
          : message('card-page-due-state-on', { state, date: date(due.dueOn) }),
      ),
    };
  });
}

function torqueRows({ fasteners }: JobCardView, wording: Wording): Row[] {
  const { say } = wording;
  return fasteners.map((fastener) => {
    const { name, count, component, angle } = fastener;
    const torque = torqueOf(fastener, wording);
    // If the sheet does not say what the fasteners hold, the mechanic must find out.
    const holds = component === null ? say(message('card-page-which-part', { fastener: name })) : name;
    return {
      box: true,
      text: `${count} × ${holds}`,
      value: angle === null ? torque : say(message('card-page-torque-turned', { torque, angle })),
    };
  });
}

function torqueOf(
  { torque, min, max, tolerancePercent }: JobCardView['fasteners'][0],
  { say, amount }: Wording,
): string {
  const least = amount(min).split(' ')[0] ?? '';
  const range = say(message('card-page-range', { least, most: amount(max) }));
  if (torque === null) return range;
  return `${amount(torque)} ${tolerancePercent === null ? `(${range})` : `±${plain(tolerancePercent)} %`}`;
}

function beltRows({ belts, beltRouting }: JobCardView, { say, amount }: Wording): Row[] {
  const rows: Row[] = belts.flatMap(({ name, designation, ribs, effectiveLength, tension }) => [
    {
      box: true,
      text:
        ribs === null || effectiveLength === null
          ? name
          : say(message('card-page-belt', { belt: name, ribs, length: amount(effectiveLength) })),
      value: designation ?? say(message('card-page-no-designation')),
    },
    ...(tension === null ? [] : tensionRows(tension, { say, amount })),
  ]);
  if (beltRouting !== null) rows.push({ text: beltRouting.text });
  return rows;
}

type Tension = NonNullable<JobCardView['belts'][0]['tension']>;

/** The tension to set, a row for each way of measuring it that the sheet has limits for. */
function tensionRows(tension: Tension, { say, amount }: Pick<Wording, 'say' | 'amount'>): Row[] {
  const { newBelt, frequencyMinHz, frequencyMaxHz, deflectionMin, deflectionMax, deflectionForce } = tension;
  const rows: Row[] = [];
  const text = say(message('card-page-belt-tension', { isNew: newBelt ? 'yes' : 'no' }));
  const hertz = (value: number | null): string | null => (value === null ? null : `${plain(value)} Hz`);
  const frequency = limitsInWords(hertz(frequencyMinHz), hertz(frequencyMaxHz), say);
  const deflection = limitsInWords(
    deflectionMin && amount(deflectionMin),
    deflectionMax && amount(deflectionMax),
    say,
  );
  if (frequency !== null) rows.push({ text, value: frequency });
  if (deflection !== null) {
    const force = deflectionForce && amount(deflectionForce);
    const value =
      force === null ? deflection : say(message('card-page-deflection-at', { deflection, force }));
    rows.push({ text, value });
  }
  return rows;
}

function limitsInWords(least: string | null, most: string | null, say: Wording['say']): string | null {
  if (least !== null && most !== null) return say(message('card-page-range', { least, most }));
  if (least !== null) return say(message('card-page-at-least', { least }));
  return most === null ? null : say(message('card-page-at-most', { most }));
}

function alertRows({ lossAlerts }: JobCardView, { say, on }: Wording): Row[] {
  const told = new Set<string>();
  const rows: Row[] = lossAlerts.map(({ kind, circuit, status, raisedAt, returned }) => ({
    text: say(
      message('card-page-alert', {
        kind: inCircuit(alertTerm(kind as LossAlertKind), circuit),
        returned: returned ? 'yes' : 'no',
      }),
    ),
    value: say(message('card-page-alert-status', { status, date: on(raisedAt) })),
  }));
  // Two alerts often ask for the same checks.
  for (const check of lossAlerts.flatMap(({ checkNext }) => checkNext.map(({ text }) => text))) {
    if (told.has(check)) continue;
    told.add(check);
    rows.push({ box: true, text: check });
  }
  return rows;
}

function missingRows({ missing }: JobCardView): Row[] {
  return missing.map((said) => ({ text: said.text }));
}
