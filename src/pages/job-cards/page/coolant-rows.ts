import { circuitTerm } from '../../../domain/intervals/terms.js';
import { baseTerm } from '../../../domain/coolant/coolant.js';
import { additiveTerm } from '../../../domain/coolant-condition/additive-term.js';
import type { JobCardView } from '../card/job-card.dto.js';
import type { Row } from './card-row.js';
import { message as shared } from '../../../platform/words/messages.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

type Coolant = NonNullable<JobCardView['coolant']>;

/** What the card has of each circuit. */
type OfCircuit = Pick<JobCardView, 'circuit' | 'coolant' | 'additive' | 'opens' | 'boilOver'>;

/**
 * Which coolant to bring and pour, at what temperature it boils here, and its last known strength.
 */
export function coolantRows(card: JobCardView, wording: Wording): Row[] {
  return [
    ...rowsOfCircuit(card, wording),
    ...freezePointRows(card, wording),
    ...card.otherCircuits.flatMap((other) => rowsOfCircuit(other, wording)),
  ];
}

/** Two coolants are never carried in one container, nor in one that held the other. */
function rowsOfCircuit(card: OfCircuit, wording: Wording): Row[] {
  const { circuit, coolant, additive } = card;
  const { say } = wording;
  return [
    ...(circuit === undefined || coolant === null
      ? []
      : [{ text: say(message('card-page-own-container', { circuit: circuitTerm(circuit) })) }]),
    ...(coolant === null ? [] : [...pouringRows(coolant, wording), holdsRow(coolant, card.opens, wording)]),
    ...(additive === null
      ? []
      : [{ box: true, text: say(additiveTerm(null)), value: additive.message.text }]),
    ...boilingRows(card, wording),
  ];
}

function pouringRows(coolant: Coolant, wording: Wording): Row[] {
  const { base, technology, targetStrengthPercent, bring, premix, afterWaterFlush, adjust } = coolant;
  const { say, amount } = wording;
  const isFlushed = bring !== null && premix === null;
  const rows: Row[] = [
    {
      text: say(
        technology === null
          ? message('card-page-no-technology', { base: baseTerm(base) })
          : message('card-page-kind-of-coolant', { base: baseTerm(base), technology }),
      ),
      value: say(message('card-page-strength', { percent: Math.round(targetStrengthPercent) })),
    },
  ];
  if (bring !== null) rows.push(...concentrateAndWater(bring, isFlushed, wording));
  if (premix !== null)
    rows.push(
      bring === null ? readyMixedRow(premix, wording) : premixRow(premix, targetStrengthPercent, wording),
    );
  if (afterWaterFlush !== null && !isFlushed)
    rows.push({
      text: say(message('card-page-if-flushed')),
      value: `${amount(afterWaterFlush.concentrate)} + ${amount(afterWaterFlush.water)}`,
    });
  if (adjust !== null)
    rows.push({
      box: true,
      text: say(message('card-page-adjust', { pour: adjust.pour })),
      value: amount(adjust.drain),
    });
  return rows;
}

function concentrateAndWater(
  { concentrate, water }: NonNullable<Coolant['bring']>,
  isFlushed: boolean,
  { say, amount }: Wording,
): Row[] {
  const flushed = isFlushed ? 'yes' : 'no';
  return [
    {
      box: true,
      text: say(message('card-page-concentrate', { first: flushed })),
      value: amount(concentrate),
    },
    { box: true, text: say(message('card-page-water', { after: flushed })), value: amount(water) },
  ];
}

/** Where nothing else may be poured in. */
function readyMixedRow(
  { strengthPercent, volume }: NonNullable<Coolant['premix']>,
  { say, amount }: Wording,
): Row {
  const percent = Math.round(strengthPercent);
  return { box: true, text: say(message('card-page-ready-mixed', { percent })), value: amount(volume) };
}

/** No finer than strength can be measured, which is to a few percent. */
function premixRow(
  { strengthPercent, endsAtPercent, volume }: NonNullable<Coolant['premix']>,
  target: number,
  { say, amount }: Wording,
): Row {
  const endsAt = Math.round(endsAtPercent);
  const ends = endsAt === Math.round(target) ? 'no' : 'yes';
  return {
    text: say(message('card-page-premix', { percent: Math.round(strengthPercent), ends, endsAt })),
    value: amount(volume),
  };
}

function holdsRow(coolant: Coolant, opens: JobCardView['opens'], { say, amount }: Wording): Row {
  const capacity = amount(coolant.capacity);
  return coolant.stays === null || opens !== 'all'
    ? { text: say(message('card-page-holds', { capacity })) }
    : { text: say(message('card-page-holds-and-stays', { capacity })), value: amount(coolant.stays) };
}

function boilingRows({ boilOver }: OfCircuit, { say, amount }: Wording): Row[] {
  if (boilOver === null) return [];
  const { capRating, boilsAt, boilsOpenAt } = boilOver;
  const open = amount(boilsOpenAt);
  if (capRating === null || boilsAt === null)
    return [{ text: say(message('card-page-boils-open')), value: open }];
  return [
    {
      text: say(message('card-page-boils', { cap: amount(capRating) })),
      value: `${amount(boilsAt)}; ${open}`,
    },
  ];
}

function freezePointRows(
  { coolant, lastFreezePoint: last }: JobCardView,
  { say, amount, on }: Wording,
): Row[] {
  if (last === null || (coolant === null && last.verdict === 'pass')) return [];
  const value = last.freezePoint === null ? say(shared('not-known')) : amount(last.freezePoint);
  const verdict = last.verdict ?? 'none';
  const percent = last.strengthVolumePercent;
  return [
    {
      text: say(message('card-page-freeze-point', { date: on(last.takenAt) })),
      value: say(
        percent === null
          ? message('card-page-freeze-point-value', { value, verdict })
          : message('card-page-freeze-point-strength', { value, percent: Math.round(percent), verdict }),
      ),
    },
  ];
}
