import { Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { ImportAnswer } from '../platform/csv/import.dto.js';
import { ImportQuery } from '../platform/csv/import.dto.js';
import { ImportRoute } from '../platform/csv/imports.js';
import { CsvUpload, type Upload } from '../platform/csv/upload.js';
import { VehicleImportService } from './vehicle-import.service.js';

@ApiTags('vehicles')
@Controller('v1')
export class VehicleCsvController {
  constructor(private readonly imports: VehicleImportService) {}

  @ImportRoute(
    'vehicles/import',
    'Take vehicles from a CSV file',
    'Columns as in vehicles.csv, in any order; only `unitNumber` is required. Depot, spec sheet, plan and carrier by name or id. A vehicle that is there already and says the same is a duplicate; one that says otherwise is refused, for a vehicle is changed by PATCH.',
  )
  import(@CsvUpload() upload: Upload, @Query() query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.import(upload, query);
  }
}
