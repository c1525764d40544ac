import { Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { type ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import { ImportRoute } from '../../platform/csv/imports.js';
import { CsvUpload, type Upload } from '../../platform/csv/upload.js';
import { UsageImportService } from './usage-import.service.js';

@ApiTags('usage')
@Controller('v1')
export class UsageImportController {
  constructor(private readonly imports: UsageImportService) {}

  @ImportRoute(
    'usage-readings/import',
    'Import usage readings from a CSV file',
    'Columns `unitNumber` or `vehicleId`, `readAt`, `odometer`, `engineHours`, `odometerReplaced`, `engineHoursReplaced`, `source`, in any order. A time without an offset is in the zone of the fleet; a date alone means noon. Readings that exist already are duplicates, and implausible ones are held, as in a batch.',
  )
  import(@CsvUpload() upload: Upload, @Query() query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.import(upload, query);
  }
}
