import { civilDateAt } from '../domain/calendar/zone.js';
import { plain } from '../domain/quantities/wording.js';
import { MIXING_WATER } from '../domain/coolant/water.js';
import type { Component } from '../domain/intervals/types.js';
import type { StepName } from '../domain/job-card/steps/steps.js';
import { componentInWords } from '../domain/job-card/work/words.js';
import { quantityAsRead } from '../domain/quantities/as-read.js';
import { heldRows, readingRows, releasedRows } from './card-reading-rows.js';
import type { JobCardView } from './job-card.dto.js';
import { lossOnGauge, onGauge } from './on-gauge.js';

/** One line of the printed card. */
export interface Row {
  /** With a box to tick. */
  box?: boolean;
  text: string;
  /** Set apart at the end of the line: a torque, an amount. */
  value?: string;
  /** What is to be written in by hand. */
  blanks?: readonly string[];
}

/** A part of the printed card under its heading. */
export interface Block {
  title: string;
  rows: Row[];
  /** Where room is short, so many rows are kept if it can be, and the rest is counted. */
  keep: number;
  /** So many rows are kept in any case. */
  least: number;
}

/** Of what may not be left out. */
const ALL = Infinity;

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
/** A strength is measured to a few percent. */
const strength = (value: number): string => `${Math.round(value)} %`;

/** A machine that counts engine hours and no distance. */
export const isHourOnly = ({ estimatedOdometer, estimatedEngineHours }: JobCardView['vehicle']): boolean =>
  estimatedOdometer === null && estimatedEngineHours !== null;

export function workInWords(line: { component: string; action: string; item: string | null }): string {
  return `${inWords(line.component)}${line.item === null ? '' : ` (${line.item})`}: ${line.action}`;
}

/** The parts of the card between its head and its cautions, in the order to read them; those with nothing in them are left out. */
export function blocksOf(card: JobCardView, timeZone: string): Block[] {
  const on = (instant: string): string => civilDateAt(Date.parse(instant), timeZone);
  const blocks: Block[] = [
    {
      title: 'Released with open safety findings',
      keep: ALL,
      least: ALL,
      rows: releasedRows(card, on),
    },
    {
      title: 'Steps',
      keep: ALL,
      least: ALL,
      rows: card.steps.map(({ step, text }) => ({
        box: true,
        text,
        blanks: step === 'road-test' && isHourOnly(card.vehicle) ? ['time', 'hottest'] : BLANKS[step],
      })),
    },
    {
      title: 'Parts to bring',
      keep: 10,
      least: 3,
      rows: card.parts.map(({ component, description, quantity, partNumber }) => ({
        box: true,
        text: `${quantity} × ${description} (${inWords(component)})`,
        value: partNumber ?? undefined,
      })),
    },
    { title: 'Coolant to bring', keep: ALL, least: ALL, rows: coolantRows(card, on) },
    { title: 'Torques', keep: 14, least: 4, rows: card.fasteners.map(torqueRow) },
    { title: 'Hold test', keep: ALL, least: ALL, rows: holdTestRows(card) },
    { title: 'Belts', keep: 5, least: 2, rows: beltRows(card) },
    {
      title: 'Planned visit',
      keep: 6,
      least: 1,
      rows: card.visits.flatMap(({ day, lines }) =>
        lines.map((line) => ({ text: workInWords(line), value: day })),
      ),
    },
    {
      title: 'Due anyway: do it in the same visit',
      keep: 6,
      least: 2,
      rows: card.dueAnyway.map((due) => ({
        box: true,
        text: `${due.vehicle.id === card.vehicle.id ? '' : `${due.vehicle.unitNumber}: `}${workInWords(due)}`,
        value: `${due.state === 'window' ? 'in its window' : due.state}${due.dueOn === null ? '' : `, ${due.dueOn}`}`,
      })),
    },
    {
      title: 'Open loss alerts: what to check',
      keep: 6,
      least: 2,
      rows: alertRows(card, on),
    },
    { title: 'Last readings', keep: 8, least: 1, rows: readingRows(card, on) },
    {
      title: 'Usage readings held for review: not counted',
      keep: 3,
      least: 1,
      rows: heldRows(card, on, quantityAsRead),
    },
    { title: 'Not known here', keep: 6, least: 2, rows: card.missing.map((text) => ({ text })) },
  ];
  return blocks.filter(({ rows }) => rows.length > 0);
}

function coolantRows(card: JobCardView, on: (instant: string) => string): Row[] {
  const { coolant, lastFreezePoint: last } = card;
  const rows: Row[] = [];
  if (coolant !== null) {
    const { base, technology, targetStrengthPercent, bring, premix, afterWaterFlush, stays, adjust } =
      coolant;
    const isFlushed = bring !== null && premix === null;
    rows.push({
      text: `${base.replace('-', ' ')}, ${technology ?? 'technology not on the sheet'}`,
      value: `at ${strength(targetStrengthPercent)}`,
    });
    if (bring !== null) {
      rows.push(
        {
          box: true,
          text: isFlushed ? 'neat concentrate, poured first' : 'concentrate',
          value: quantityAsRead(bring.concentrate),
        },
        {
          box: true,
          text: isFlushed ? `${MIXING_WATER}, poured after it` : MIXING_WATER,
          value: quantityAsRead(bring.water),
        },
      );
    }
    if (premix !== null) {
      const ends =
        strength(premix.endsAtPercent) === strength(targetStrengthPercent)
          ? ''
          : ` (ends at ${strength(premix.endsAtPercent)})`;
      rows.push({
        text: `or ready mixed at ${strength(premix.strengthPercent)}${ends}`,
        value: quantityAsRead(premix.volume),
      });
    }
    if (afterWaterFlush !== null && !isFlushed)
      rows.push({
        text: `if flushed with water: neat concentrate first, then ${MIXING_WATER}`,
        value: `${quantityAsRead(afterWaterFlush.concentrate)} + ${quantityAsRead(afterWaterFlush.water)}`,
      });
    if (adjust !== null)
      rows.push({
        box: true,
        text: `${adjust.pour === 'concentrate' ? 'neat concentrate' : MIXING_WATER}, for as much drained`,
        value: quantityAsRead(adjust.drain),
      });
    const holds = `system holds ${quantityAsRead(coolant.capacity)}`;
    rows.push(
      stays === null || card.opens !== 'all'
        ? { text: holds }
        : { text: `${holds}; in block and heater stays`, value: quantityAsRead(stays) },
    );
  }
  if (card.additive !== null) rows.push({ box: true, text: 'additive', value: card.additive.text });
  const { boilOver } = card;
  if (boilOver !== null) {
    const { capRating, boilsAt, boilsOpenAt } = boilOver;
    const open = quantityAsRead(boilsOpenAt);
    rows.push(
      capRating === null || boilsAt === null
        ? { text: 'boils here with the cap off', value: open }
        : {
            text: `boils here under the ${quantityAsRead(capRating)} cap; with the cap off`,
            value: `${quantityAsRead(boilsAt)}; ${open}`,
          },
    );
  }
  if (last !== null && (coolant !== null || last.verdict !== 'pass')) {
    const freezes = last.freezePoint === null ? 'not told' : quantityAsRead(last.freezePoint);
    const reads = last.strengthVolumePercent === null ? '' : ` (${strength(last.strengthVolumePercent)})`;
    rows.push({
      text: `last freeze point, ${on(last.takenAt)}`,
      value: `${freezes}${reads}${last.verdict === null ? '' : `, ${last.verdict}`}`,
    });
  }
  return rows;
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
  for (const check of lossAlerts.flatMap(({ checkNext }) => checkNext)) {
    if (told.has(check)) continue;
    told.add(check);
    rows.push({ box: true, text: check });
  }
  return rows;
}
