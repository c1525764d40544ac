import { civilDateAt } from '../../../domain/calendar/zone.js';
import { plain } from '../../../domain/quantities/wording.js';
import type { Component } from '../../../domain/intervals/types.js';
import type { StepName } from '../../../domain/job-card/steps/steps.js';
import { componentInWords } from '../../../domain/job-card/work/words.js';
import { quantityAsRead } from '../../../domain/quantities/as-read.js';
import { heldRows, readingRows, releasedRows } from './card-reading-rows.js';
import type { JobCardView } from '../card/job-card.dto.js';
import { lossOnGauge, onGauge } from './on-gauge.js';
import { type Block, list, type Row, whole } from './card-row.js';
import { coolantRows } from './coolant-rows.js';

/** What is measured at a step, for the report. */
const BLANKS: Partial<Record<StepName, readonly string[]>> = {
  'read-strength': ['reads'],
  'read-level': ['below mark'],
  drain: ['came out'],
  'hold-test': ['cold?', 'start', 'end', 'min'],
  'proof-test': ['cold?', 'start', 'end', 'min'],
  'top-up-to-mark': ['went in'],
  'top-up': ['went in'],
  'road-test': ['min', 'distance', 'hottest'],
  recheck: ['below mark'],
};

const inWords = (component: string): string => componentInWords(component as Component);
/** A machine that counts engine hours and no distance. */
export const isHourOnly = ({ estimatedOdometer, estimatedEngineHours }: JobCardView['vehicle']): boolean =>
  estimatedOdometer === null && estimatedEngineHours !== null;

export function workInWords(line: { component: string; action: string; item: string | null }): string {
  return `${inWords(line.component)}${line.item === null ? '' : ` (${line.item})`}: ${line.action}`;
}

/**
 * The parts of the card between its head and its cautions, in the order to read them. Empty ones
 * are left out.
 */
export function blocksOf(card: JobCardView, timeZone: string): Block[] {
  const on = (instant: string): string => civilDateAt(Date.parse(instant), timeZone);
  const blocks = [
    whole('Released with open safety findings', releasedRows(card, on)),
    whole('Steps', stepRows(card)),
    list('Parts to bring', partRows(card), { keep: 10, least: 3 }),
    whole('Coolant to bring', coolantRows(card, on)),
    list('Torques', card.fasteners.map(torqueRow), { keep: 14, least: 4 }),
    whole('Hold test', holdTestRows(card)),
    list('Belts', beltRows(card), { keep: 5, least: 2 }),
    list('Planned visit', visitRows(card), { keep: 6, least: 1 }),
    list('Due anyway: do it in the same visit', dueRows(card), { keep: 6, least: 2 }),
    list('Open loss alerts: what to check', alertRows(card, on), { keep: 6, least: 2 }),
    list('Last readings', readingRows(card, on), { keep: 8, least: 1 }),
    list('Usage readings held for review: not counted', heldRows(card, on), { keep: 3, least: 1 }),
    list(
      'Not known here',
      card.missing.map((text) => ({ text })),
      { keep: 6, least: 2 },
    ),
  ];
  return blocks.filter(({ rows }) => rows.length > 0);
}

function stepRows({ steps, vehicle }: JobCardView): Row[] {
  return steps.map(({ step, text }) => ({
    box: true,
    text,
    blanks: step === 'road-test' && isHourOnly(vehicle) ? ['time', 'hottest'] : BLANKS[step],
  }));
}

function partRows({ parts }: JobCardView): Row[] {
  return parts.map(({ component, description, quantity, partNumber }) => ({
    box: true,
    text: `${quantity} × ${description} (${inWords(component)})`,
    value: partNumber ?? undefined,
  }));
}

function visitRows({ visits }: JobCardView): Row[] {
  return visits.flatMap(({ day, lines }) => lines.map((line) => ({ text: workInWords(line), value: day })));
}

function dueRows({ dueAnyway, vehicle }: JobCardView): Row[] {
  return dueAnyway.map((due) => {
    const unit = due.vehicle.id === vehicle.id ? '' : `${due.vehicle.unitNumber}: `;
    const state = due.state === 'window' ? 'in its window' : due.state;
    return {
      box: true,
      text: `${unit}${workInWords(due)}`,
      value: `${state}${due.dueOn === null ? '' : `, ${due.dueOn}`}`,
    };
  });
}

function torqueRow({
  name,
  count,
  component,
  torque,
  min,
  max,
  tolerancePercent,
  angle,
}: JobCardView['fasteners'][0]): Row {
  const range = `${quantityAsRead(min).split(' ')[0] ?? ''} to ${quantityAsRead(max)}`;
  let value = torque === null ? range : quantityAsRead(torque);
  if (torque !== null) value += tolerancePercent === null ? ` (${range})` : ` ±${plain(tolerancePercent)} %`;
  // Where the sheet does not say what a group holds, whoever does the work has to.
  const holds = component === null ? ' (which part?)' : '';
  return {
    box: true,
    text: `${count} × ${name}${holds}`,
    value: angle === null ? value : `${value}, then ${angle}`,
  };
}

function holdTestRows({ holdTest, proofTest }: JobCardView): Row[] {
  const rows: Row[] = [];
  for (const test of [holdTest, proofTest]) {
    if (test === null) continue;
    const { method, target, targetAtSeaLevel, greatestVacuum, greatestPressure, minutes, allowedLoss } = test;
    const atSeaLevel = targetAtSeaLevel === null ? '' : ` (${quantityAsRead(targetAtSeaLevel)} at sea level)`;
    const never =
      greatestPressure === null ? '' : `, never above ${quantityAsRead(greatestPressure, 'down')}`;
    rows.push({
      text: `${method}${test === proofTest ? ', to prove the leak mended' : ''}: target here${atSeaLevel}${never}`,
      value: target === null ? 'not known' : onGauge(method, target),
    });
    if (greatestVacuum !== null)
      rows.push({ text: 'most that the air here can give', value: quantityAsRead(greatestVacuum, 'down') });
    rows.push({
      text: 'hold, and loss allowed',
      value: `${plain(minutes)} min, ${lossOnGauge(method, allowedLoss)}`,
    });
  }
  return rows;
}

function beltRows({ belts, beltRouting }: JobCardView): Row[] {
  const rows: Row[] = belts.map(({ name, designation, ribs, effectiveLength }) => ({
    box: true,
    text:
      name +
      (ribs === null || effectiveLength === null
        ? ''
        : `: ${ribs} ribs, ${quantityAsRead(effectiveLength)} long`),
    value: designation ?? 'not on the sheet',
  }));
  if (beltRouting !== null)
    rows.push({ text: `Routing: ${beltRouting.charAt(0).toLowerCase()}${beltRouting.slice(1)}` });
  return rows;
}

function alertRows({ lossAlerts }: JobCardView, on: (instant: string) => string): Row[] {
  const told = new Set<string>();
  const rows: Row[] = lossAlerts.map(({ kind, status, raisedAt, returned }) => ({
    text: `${kind.replaceAll('-', ' ')}${returned ? ', returned' : ''}`,
    value: `${status}, ${on(raisedAt)}`,
  }));
  // Two alerts mostly ask for the same checks.
  for (const { text } of lossAlerts.flatMap(({ checkNext }) => checkNext)) {
    if (told.has(text)) continue;
    told.add(text);
    rows.push({ box: true, text });
  }
  return rows;
}
