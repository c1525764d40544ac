import { Controller, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { ListRoute, ReadRoute } from '../../platform/resources/resource-routes.js';
import { ImportPage, ImportsQuery, ImportView } from './import-record.dto.js';
import { ImportsService } from './imports.service.js';
import { UndoService } from './undo.service.js';

@ApiTags('imports')
@Controller('v1/imports')
export class ImportsController {
  constructor(
    private readonly imports: ImportsService,
    private readonly undoing: UndoService,
  ) {}

  @ListRoute('List the imported files, newest first', ImportPage)
  @ManagerWork()
  list(@Query() query: ImportsQuery): Promise<Page<ImportView>> {
    return this.imports.list(query);
  }

  @ReadRoute('Read the outcome of an import', ImportView)
  @ManagerWork()
  get(@IdParam('import') id: string): Promise<ImportView> {
    return this.imports.get(id);
  }

  @Post(':id/undo')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Undo an import: take back all that the file brought',
    description:
      'Usage readings and job reports are voided; vehicles are removed. All or nothing: if a vehicle has been used since, the answer is 409 and names it. Undoing again changes nothing, and the same file can be imported again afterwards.',
  })
  @ApiOkResponse({ type: ImportView })
  undo(@IdParam('import') id: string): Promise<ImportView> {
    return this.undoing.undo(id);
  }
}
