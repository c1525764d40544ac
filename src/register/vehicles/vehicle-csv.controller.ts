import { Controller, Query, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { CsvRoute, sendCsv } from '../../platform/csv/csv-answer.js';
import { type ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import { ImportRoute } from '../../platform/csv/imports.js';
import { CsvUpload, type Upload } from '../../platform/csv/upload.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import { VehicleCsvQuery } from './vehicle.dto.js';
import { VehicleExportService } from './vehicle-export.service.js';
import { VehicleImportService } from './vehicle-import.service.js';

@ApiTags('vehicles')
@Controller('v1')
export class VehicleCsvController {
  constructor(
    private readonly imports: VehicleImportService,
    private readonly exports: VehicleExportService,
  ) {}

  @CsvRoute(
    'vehicles.csv',
    'Read the vehicles as a CSV file',
    'By unit number, in the form that POST /v1/vehicles/import takes. Text that a spreadsheet would take for a formula has an apostrophe before it.',
  )
  export(
    @Query() { bom, ...filters }: VehicleCsvQuery,
    @ReaderUnits() units: UnitSystem,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const chunks = this.exports.export(filters, units);
    return sendCsv(reply, { name: 'vehicles.csv', hasMark: bom === 'true', chunks });
  }

  @ImportRoute(
    'vehicles/import',
    'Import vehicles from a CSV file',
    'Columns as in vehicles.csv, in any order; only `unitNumber` is required. Depot, spec sheet, plan and carrier by name or id. A vehicle that exists already with the same values is a duplicate. With other values it is refused: change a vehicle with PATCH.',
  )
  import(@CsvUpload() upload: Upload, @Query() query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.import(upload, query);
  }
}
