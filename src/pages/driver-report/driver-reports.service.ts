import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import type { FastifyRequest } from 'fastify';
import { DataSource } from 'typeorm';
import { LabelReportsService } from '../../facts/defects/label-reports.service.js';
import { UUID_PATTERN } from '../../platform/fields/uuid.js';
import { receiveForm } from '../../platform/input/form-body.js';
import { LabelLimits } from '../../platform/limits/label-limits.js';
import { Problem } from '../../platform/problems/problem.js';
import { type FleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { readCode } from '../../register/labels/label-code.js';
import { type LabelledVehicle, vehicleOfLabel } from '../../register/labels/labels.queries.js';
import type { PageAnswer, PageReader } from './answering.js';
import { emptyForm, type FilledForm, filledForm } from './form-fields.js';
import { followPage, PHOTO_FAULTS, type PhotoFault, unknownPage, waitingPage } from './follow-page.js';
import { message } from './messages.js';
import { reportPage, type ShownVehicle } from './report-page.js';

/** A vehicle that was found by its label, and the page about it. */
interface Visit extends ShownVehicle {
  vehicle: LabelledVehicle;
}

/** What people without an account do by the label on a vehicle. */
@Injectable()
export class DriverReportsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly reports: LabelReportsService,
    private readonly limits: LabelLimits,
  ) {}

  /** The page that the label leads to. */
  ask(code: string, reader: PageReader): Promise<PageAnswer> {
    return this.visit(code, reader, (visit) => ({
      ...shown(visit, 200, reportPage(visit, emptyForm(), null)),
      isForm: true,
    }));
  }

  /** Takes a report, and leads on to what became of it. */
  async report(code: string, reader: PageReader, request: FastifyRequest): Promise<PageAnswer> {
    const answer = await this.visit(code, reader, async (visit) => {
      await this.limits.countReport(visit.vehicle.vehicleId);
      return receiveForm(request, (fields, photo) =>
        this.take(visit, filledForm(fields, visit.taking), photo),
      );
    });
    // What is left of a body that nobody reads is discarded.
    request.raw.resume();
    return answer;
  }

  follow(code: string, report: string, reader: PageReader): Promise<PageAnswer> {
    return this.visit(code, reader, async (visit) => {
      const { language, path, vehicle } = visit;
      const id = report.toLowerCase();
      if (!UUID_PATTERN.test(id)) return unknown(visit);
      const followed = await this.reports.follow(vehicle.vehicleId, id);
      if (followed === null) return unknown(visit);
      const photoFault = PHOTO_FAULTS.find((fault) => fault === reader.query['photo']) ?? null;
      const about = { ...visit, path: `${path}/${id}` };
      const { timeZone } = vehicle;
      const page = followPage(about, followed, { timeZone, photoFault, reportPath: path });
      return { status: 200, language, page };
    });
  }

  private async take(
    visit: Visit,
    form: FilledForm,
    photo: AsyncIterable<Buffer> | null,
  ): Promise<PageAnswer> {
    if (form.fault !== null) return shown(visit, 422, reportPage(visit, form, null));
    const { fault: _fault, ...report } = form;
    const { vehicleId, language } = visit.vehicle;
    const { outcome, isByLabel, unseen } = await this.reports.record(vehicleId, report, language);
    if (outcome === 'waiting') return shown(visit, 409, waitingPage(visit, unseen));
    const followPath = `${visit.path}/${form.id}?lang=${visit.language}`;
    if (outcome === 'sent-before') {
      const again = { ...form, id: emptyForm().id, fault: message('driver-page-sent-before') };
      return shown(visit, 409, reportPage(visit, again, isByLabel ? followPath : null));
    }
    const fault = photo === null ? null : await this.photoFault(form.id, photo);
    const location = fault === null ? followPath : `${followPath}&photo=${fault}`;
    return { status: 303, language: visit.language, page: null, location };
  }

  /** Attaches a photo. The report stays without it, so a refused photo is no error. */
  private async photoFault(id: string, photo: AsyncIterable<Buffer>): Promise<PhotoFault | null> {
    try {
      return (await this.reports.attach(id, photo)) ? null : 'tooMany';
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      if (error.slug === 'attachment-too-large') return 'tooLarge';
      return error.status === 415 || error.status === 422 ? 'type' : 'broken';
    }
  }

  /** Finds the vehicle of a label, and works for its fleet. */
  private async visit(
    code: string,
    { language: chosen, ip }: PageReader,
    work: (visit: Visit) => PageAnswer | Promise<PageAnswer>,
  ): Promise<PageAnswer> {
    await this.limits.countRequest(ip);
    const read = readCode(code);
    const path = `/l/${encodeURIComponent(code)}`;
    const place = { language: chosen ?? 'en', path } as const;
    if (read === null) return unknown(place);
    const { fleetId } = read;
    const bare: FleetScope = { fleetId, timeZone: 'UTC', units: 'si', tokenId: null, role: null };
    const vehicle = await inFleet(bare, () => vehicleOfLabel(this.dataSource.manager, read));
    if (vehicle === null) return unknown(place);
    const language = chosen ?? vehicle.language;
    const { timeZone, units, unitNumber } = vehicle;
    const scope: FleetScope = { fleetId, timeZone, units, language, tokenId: null, role: null };
    return inFleet(scope, async () => work({ language, path, unitNumber, vehicle, taking: vehicle }));
  }
}

function shown({ language }: ShownVehicle, status: number, page: string): PageAnswer {
  return { status, language, page };
}

function unknown(place: { language: ShownVehicle['language']; path: string }): PageAnswer {
  const { language, path } = place;
  return { status: 404, language, page: unknownPage({ language, path }) };
}
