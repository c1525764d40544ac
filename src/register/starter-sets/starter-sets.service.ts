import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { StarterSet } from '../../domain/starters/starter-set.js';
import { starterOf, STARTERS } from '../../domain/starters/starter-sets.js';
import { starterName } from '../../domain/starters/terms.js';
import { IntervalPlan } from '../../entities/interval-plan.entity.js';
import { SpecSheet } from '../../entities/spec-sheet.entity.js';
import { Transactions } from '../../platform/database/transactions.js';
import { currentReader, fleetScope } from '../../platform/scope/fleet-scope.js';
import { nameTaken } from '../../platform/problems/constraint-problems.js';
import { textOf } from '../../platform/words/render.js';
import { viewOf as planView } from '../interval-plans/interval-plan-columns.js';
import { viewOf as sheetView } from '../spec-sheets/spec-sheet-columns.js';
import { takenNames } from './starter-sets.queries.js';
import { planRow, sheetRow } from './starter-rows.js';
import type { StarterSetList, TakenStarterSets, TakeStarterSets } from './starter-set.dto.js';
import { starterSetView } from './starter-set-view.js';

@Injectable()
export class StarterSetsService {
  constructor(private readonly transactions: Transactions) {}

  list(): StarterSetList {
    return { items: STARTERS.map((set) => starterSetView(set, nameOf)) };
  }

  /** Makes a spec sheet and an interval plan of each set. All or none. */
  take(wanted: TakeStarterSets['sets']): Promise<TakenStarterSets> {
    const { fleetId } = fleetScope();
    return this.transactions.write(async (tx) => {
      const taken = wanted.map(({ set: code, name }) => {
        const set = starterOf(code);
        const row = () => ({ fleetId, id: uuidv7(), name: name?.trim() ?? nameOf(set) });
        return { set: set.code, sheet: sheetRow(set, row()), plan: planRow(set, row()) };
      });
      await assertNamesFree(
        tx,
        taken.map(({ sheet }) => sheet.name),
      );
      await tx.insert(
        SpecSheet,
        taken.map(({ sheet }) => sheet),
      );
      await tx.insert(
        IntervalPlan,
        taken.map(({ plan }) => plan),
      );
      return {
        items: taken.map(({ set, sheet, plan }) => ({
          set,
          specSheet: sheetView(sheet),
          intervalPlan: planView(plan),
        })),
      };
    });
  }
}

/** What its sheet and plan are called, in the language of the request. */
const nameOf = ({ code }: StarterSet): string => textOf(starterName(code), currentReader());

/** @throws Problem 409 that points to the first name which a sheet or plan has, or which comes twice */
async function assertNamesFree(tx: EntityManager, names: readonly string[]): Promise<void> {
  const { sheets, plans } = await takenNames(tx, names);
  for (const [index, name] of names.entries()) {
    const pointer = `/sets/${index}/name`;
    if (sheets.has(name) || names.indexOf(name) !== index) throw nameTaken('spec sheet', pointer);
    if (plans.has(name)) throw nameTaken('interval plan', pointer);
  }
}
