import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { type Driving, drivingBy } from '../../domain/defects/driving.js';
import type { DefectState } from '../../domain/defects/defect.js';
import {
  addedTold,
  componentOf,
  MOST_UNSEEN,
  type Trouble,
  troubleTold,
} from '../../domain/defects/label-report.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { Attachment } from '../../entities/attachment.entity.js';
import { Defect, DefectDecision } from '../../entities/defect.entity.js';
import { contentHash } from '../../platform/access/content-hash.js';
import { Clock } from '../../platform/clock/clock.js';
import { Transactions } from '../../platform/database/transactions.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import { ofDefect } from '../attachments/attachment-owner.js';
import { AttachmentsService } from '../attachments/attachments.service.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { unseenBefore } from './label-reports.queries.js';

/** Somebody's report by the label of a vehicle. */
export interface LabelReport {
  /** Made with the form, so that the same form counts once. */
  id: string;
  troubles: readonly Trouble[];
  /** About how much coolant or water was added, where that was tapped and said. */
  added: Quantity | null;
  words: string | null;
  /** Name or badge, where given. */
  name: string | null;
}

/**
 * `received`, also when it had been received before; `sent-before`: the form was used for another
 * report; `waiting`: there are so many unseen reports that one more would tell nothing new.
 */
export interface ReportOutcome {
  outcome: 'received' | 'sent-before' | 'waiting';
  /** Whether whoever sent the form may follow the report with its id. */
  isByLabel: boolean;
  /** How many reports by the label wait until somebody looks. */
  unseen: number;
}

/** A report as whoever sent it may see it: without names, and without anything else of the vehicle. */
export interface FollowedReport {
  id: string;
  what: string;
  state: DefectState;
  driving: Driving;
  reportedAt: Date;
  photos: number;
}

/** How many photos a report by a label may have. */
const MOST_PHOTOS = 3;

/** Reports by the labels on vehicles. They are defects that nobody has looked at yet. */
@Injectable()
export class LabelReportsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly attachments: AttachmentsService,
    private readonly clock: Clock,
  ) {}

  /** @param language of the fleet, in which its mechanics read the report */
  record(vehicleId: string, report: LabelReport, language: Language): Promise<ReportOutcome> {
    return this.transactions.ofVehicle(vehicleId).write(async (tx) => {
      const { fleetId } = fleetScope();
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const hash = contentHash({ byLabelOf: vehicleId, ...report });
      const { knownHash, isByLabel, unseen } = await unseenBefore(tx, vehicleId, report.id);
      if (knownHash !== null)
        return { outcome: knownHash.equals(hash) ? 'received' : 'sent-before', isByLabel, unseen } as const;
      if (unseen >= MOST_UNSEEN) return { outcome: 'waiting', isByLabel, unseen } as const;
      const reportedAt = this.clock.now();
      await tx.insert(Defect, {
        ...{ fleetId, id: report.id, vehicleId, reportedAt, receivedAt: reportedAt, contentHash: hash },
        ...{ source: 'driver', viaLabel: true, reportedBy: report.name },
        ...{ what: whatOf(report, language), component: componentOf(report.troubles) },
        isTopUp: report.troubles.includes('coolant-added'),
        addedL: canonicalOf('volume', report.added),
      });
      await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: reportedAt }]);
      return { outcome: 'received', isByLabel: true, unseen: unseen + 1 } as const;
    });
  }

  /**
   * Attaches a photo to a report that was recorded.
   *
   * @returns false when it has as many as it may have
   * @throws Problem when the file is not accepted, or has not arrived whole
   */
  async attach(id: string, chunks: AsyncIterable<Buffer>): Promise<boolean> {
    const { manager } = this.dataSource;
    if ((await photosOf(manager, id)) >= MOST_PHOTOS) return false;
    await this.attachments.attach(ofDefect(id), (take) => take(chunks));
    return true;
  }

  /** Null when the vehicle has no such report by its label. */
  async follow(vehicleId: string, id: string): Promise<FollowedReport | null> {
    const { manager } = this.dataSource;
    const { fleetId } = fleetScope();
    const defect = await manager.findOneBy(Defect, { fleetId, id, vehicleId, viaLabel: true });
    if (defect === null) return null;
    const { what, state, reportedAt } = defect;
    const last = await manager.findOne(DefectDecision, {
      where: { fleetId, defectId: id },
      order: { at: 'DESC', id: 'DESC' },
    });
    const driving = drivingBy(state, last?.vehicleStays === true);
    return { id, what, state, driving, reportedAt, photos: await photosOf(manager, id) };
  }
}

function photosOf(manager: EntityManager, defectId: string): Promise<number> {
  return manager.countBy(Attachment, { fleetId: fleetScope().fleetId, defectId });
}

/** What was tapped, and the words. */
function whatOf({ troubles, words, added }: LabelReport, language: Language): string {
  const tapped = troubles.map((trouble) => {
    const isAmount = trouble === 'coolant-added' && added !== null;
    return textOf(isAmount ? addedTold(added) : troubleTold(trouble), { language, units: null });
  });
  return [...tapped, words].filter((part) => part !== null).join('. ');
}
