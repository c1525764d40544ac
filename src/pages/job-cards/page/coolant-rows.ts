import { MIXING_WATER } from '../../../domain/coolant/water.js';
import { quantityAsRead } from '../../../domain/quantities/as-read.js';
import type { Row } from './card-row.js';
import type { JobCardView } from '../card/job-card.dto.js';

type Coolant = NonNullable<JobCardView['coolant']>;

/** A strength is measured to a few percent. */
const strength = (value: number): string => `${Math.round(value)} %`;

/**
 * What to bring and pour, when it boils here, and how strong it was last.
 *
 * @param on the fleet's day of an instant
 */
export function coolantRows(card: JobCardView, on: (instant: string) => string): Row[] {
  const { coolant, additive } = card;
  return [
    ...(coolant === null ? [] : [...pouringRows(coolant), holdsRow(coolant, card.opens)]),
    ...(additive === null ? [] : [{ box: true, text: 'additive', value: additive.text }]),
    ...boilingRows(card),
    ...freezePointRows(card, on),
  ];
}

function pouringRows(coolant: Coolant): Row[] {
  const { base, technology, targetStrengthPercent, bring, premix, afterWaterFlush, adjust } = coolant;
  const isFlushed = bring !== null && premix === null;
  const rows: Row[] = [
    {
      text: `${base.replace('-', ' ')}, ${technology ?? 'technology not on the sheet'}`,
      value: `at ${strength(targetStrengthPercent)}`,
    },
  ];
  if (bring !== null) rows.push(...concentrateAndWater(bring, isFlushed));
  if (premix !== null) rows.push(premixRow(premix, targetStrengthPercent));
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
  return rows;
}

function concentrateAndWater(
  { concentrate, water }: NonNullable<Coolant['bring']>,
  isFlushed: boolean,
): Row[] {
  return [
    {
      box: true,
      text: isFlushed ? 'neat concentrate, poured first' : 'concentrate',
      value: quantityAsRead(concentrate),
    },
    {
      box: true,
      text: isFlushed ? `${MIXING_WATER}, poured after it` : MIXING_WATER,
      value: quantityAsRead(water),
    },
  ];
}

function premixRow(
  { strengthPercent, endsAtPercent, volume }: NonNullable<Coolant['premix']>,
  target: number,
): Row {
  const ends = strength(endsAtPercent) === strength(target) ? '' : ` (ends at ${strength(endsAtPercent)})`;
  return { text: `or ready mixed at ${strength(strengthPercent)}${ends}`, value: quantityAsRead(volume) };
}

function holdsRow({ capacity, stays }: Coolant, opens: JobCardView['opens']): Row {
  const holds = `system holds ${quantityAsRead(capacity)}`;
  return stays === null || opens !== 'all'
    ? { text: holds }
    : { text: `${holds}; in block and heater stays`, value: quantityAsRead(stays) };
}

function boilingRows({ boilOver }: JobCardView): Row[] {
  if (boilOver === null) return [];
  const { capRating, boilsAt, boilsOpenAt } = boilOver;
  const open = quantityAsRead(boilsOpenAt);
  if (capRating === null || boilsAt === null) return [{ text: 'boils here with the cap off', value: open }];
  return [
    {
      text: `boils here under the ${quantityAsRead(capRating)} cap; with the cap off`,
      value: `${quantityAsRead(boilsAt)}; ${open}`,
    },
  ];
}

function freezePointRows(
  { coolant, lastFreezePoint: last }: JobCardView,
  on: (instant: string) => string,
): Row[] {
  if (last === null || (coolant === null && last.verdict === 'pass')) return [];
  const freezes = last.freezePoint === null ? 'not told' : quantityAsRead(last.freezePoint);
  const reads = last.strengthVolumePercent === null ? '' : ` (${strength(last.strengthVolumePercent)})`;
  return [
    {
      text: `last freeze point, ${on(last.takenAt)}`,
      value: `${freezes}${reads}${last.verdict === null ? '' : `, ${last.verdict}`}`,
    },
  ];
}
