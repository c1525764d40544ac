import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import type { Page } from '../../platform/pages/pages.js';
import { type FieldFault, unacceptable } from '../../platform/problems/problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { assertNeverAssigned } from '../../entities/assigned.js';
import { columnsOf, inputOf, viewOf } from './spec-sheet-columns.js';
import { changedCircuitFaults, specSheetFaults } from './spec-sheet-faults.js';
import { SpecSheetInput, type SpecSheetView } from './spec-sheet.dto.js';
import { SpecSheet } from '../../entities/spec-sheet.entity.js';

@Injectable()
export class SpecSheetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
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
      const changed = { ...columnsOf(input), version: sheet.version + 1 };
      await tx.update(SpecSheet, { fleetId: sheet.fleetId, id }, changed);
      await this.conclusions.refreshTouched(tx, { specSheetId: id });
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
