import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import type { Page } from '../../platform/pages/pages.js';
import { type FieldFault, unacceptable } from '../../platform/problems/problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { assertNeverAssigned } from '../../entities/assigned.js';
import { confirmedNow, FROM_NO_SET, notReadyMade } from '../starter-mark/starter-mark.js';
import { columnsOf, inputOf, viewOf } from './spec-sheet-columns.js';
import { changedCircuitFaults, specSheetFaults } from './spec-sheet-faults.js';
import { SpecSheetInput, type SpecSheetView } from './spec-sheet.dto.js';
import { unchangedValues } from './starter-values.js';
import { SpecSheet } from '../../entities/spec-sheet.entity.js';

@Injectable()
export class SpecSheetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  list(query: PageQuery): Promise<Page<SpecSheetView>> {
    return listBy(this.dataSource.manager, SpecSheet, 'name', query, {}, () => undefined, viewOf);
  }

  async get(id: string): Promise<SpecSheetView> {
    return viewOf(await rowOf(this.dataSource.manager, SpecSheet, id, 'spec sheet'));
  }

  create(input: SpecSheetInput): Promise<SpecSheetView> {
    return this.transactions.write(async (tx) => {
      assertConsistent(input);
      const sheet = Object.assign(new SpecSheet(), {
        fleetId: fleetScope().fleetId,
        id: uuidv7(),
        version: 1,
        ...{ ...FROM_NO_SET, starterValues: [] },
        ...columnsOf(input),
      });
      await tx.insert(SpecSheet, sheet);
      return viewOf(sheet);
    });
  }

  patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<SpecSheetView> {
    return this.transactions.write(async (tx) => {
      const sheet = await lockedRowOf(tx, SpecSheet, id, 'spec sheet');
      assertUnchanged(ifMatch, sheet.version);
      const input = await validated(SpecSheetInput, mergePatch(inputOf(sheet), patch));
      assertConsistent(input, changedCircuitFaults(sheet, input));
      const columns = columnsOf(input);
      const starterValues = unchangedValues(sheet, columns);
      const changed = { ...columns, starterValues, version: sheet.version + 1 };
      await tx.update(SpecSheet, { fleetId: sheet.fleetId, id }, changed);
      await this.conclusions.refreshTouched(tx, { specSheetId: id });
      return viewOf(Object.assign(sheet, changed));
    });
  }

  /** Records that what is still ready-made on the sheet is right; harmless to repeat. */
  confirm(id: string): Promise<SpecSheetView> {
    return this.transactions.write(async (tx) => {
      const sheet = await lockedRowOf(tx, SpecSheet, id, 'spec sheet');
      if (sheet.starterSet === null) throw notReadyMade('sheet');
      if (sheet.starterValues.length === 0) return viewOf(sheet);
      const now = confirmedNow(this.clock.now());
      const changed = { ...now, starterValues: [], version: sheet.version + 1 };
      await tx.update(SpecSheet, { fleetId: sheet.fleetId, id }, changed);
      return viewOf(Object.assign(sheet, changed));
    });
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, SpecSheet, id, 'spec sheet');
      await tx.delete(SpecSheet, { fleetId, id });
      await assertNeverAssigned(tx, { specSheetId: id });
    });
  }
}

function assertConsistent(input: SpecSheetInput, changeFaults: FieldFault[] = []): void {
  const faults = [...specSheetFaults(input), ...changeFaults];
  if (faults.length > 0) throw unacceptable(faults);
}
