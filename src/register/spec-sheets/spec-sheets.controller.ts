import { Body, Controller, HttpCode, Post, Query, UseInterceptors } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
  VersionTag,
} from '../../platform/resources/resource-routes.js';
import { SpecSheetInput, SpecSheetPage, SpecSheetView } from './spec-sheet.dto.js';
import { SpecSheetsService } from './spec-sheets.service.js';

@ApiTags('spec sheets')
@Controller('v1/spec-sheets')
export class SpecSheetsController {
  constructor(private readonly specSheets: SpecSheetsService) {}

  @ListRoute('List the spec sheets, by name', SpecSheetPage)
  list(@Query() query: PageQueryDto): Promise<Page<SpecSheetView>> {
    return this.specSheets.list(query);
  }

  @CreateRoute('Add a spec sheet', SpecSheetView)
  create(@Body() input: SpecSheetInput): Promise<SpecSheetView> {
    return this.specSheets.create(input);
  }

  @ReadRoute('Read a spec sheet', SpecSheetView)
  get(@IdParam('spec sheet') id: string): Promise<SpecSheetView> {
    return this.specSheets.get(id);
  }

  @ChangeRoute('Change a spec sheet; verdicts given under the old one stand', SpecSheetInput, SpecSheetView)
  patch(
    @IdParam('spec sheet') id: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<SpecSheetView> {
    return this.specSheets.patch(id, patch, ifMatch);
  }

  @Post(':id/confirm')
  @HttpCode(200)
  @ManagerWork()
  @UseInterceptors(VersionTag)
  @ApiOperation({
    summary: "Confirm a ready-made spec sheet: its values are right for the fleet's vehicles",
    description:
      'Records who and when. Answers that show or use it no longer say that it is common practice. Confirming again changes nothing.',
  })
  @ApiOkResponse({ type: SpecSheetView })
  confirm(@IdParam('spec sheet') id: string): Promise<SpecSheetView> {
    return this.specSheets.confirm(id);
  }

  @DeleteRoute('Delete a spec sheet that no vehicle ever had')
  remove(@IdParam('spec sheet') id: string): Promise<void> {
    return this.specSheets.remove(id);
  }
}
