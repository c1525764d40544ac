import { Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { type ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import { ImportRoute } from '../../platform/csv/imports.js';
import { CsvUpload, type Upload } from '../../platform/csv/upload.js';
import { BaselineImportService } from './baseline-import.service.js';

@ApiTags('job reports')
@Controller('v1')
export class BaselineImportController {
  constructor(private readonly imports: BaselineImportService) {}

  @ImportRoute(
    'job-reports/import',
    'Import work done before records began, from a CSV file',
    'Columns `unit`, `component`, `item`, `action`, `date`, `odometer`, `hours`, in any order; `item`, `odometer` and `hours` may be left out. Each row becomes a baseline report: it resets intervals, but opens no follow-up, alert or reminder. A row that was imported before is a duplicate.',
  )
  import(@CsvUpload() upload: Upload, @Query() query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.import(upload, query);
  }
}
