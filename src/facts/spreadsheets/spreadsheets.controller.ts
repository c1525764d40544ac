import { applyDecorators, Body, Controller, HttpCode, Patch, Post, Query, Req, Res } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import {
  ApiBody,
  ApiConsumes,
  ApiCreatedResponse,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ManagerWork } from '../../platform/access/access.js';
import { CsvRoute, sendCsv } from '../../platform/csv/csv-answer.js';
import { charsetOf } from '../../platform/csv/encodings.js';
import { ImportAnswer } from '../../platform/csv/import.dto.js';
import { receiveFile, SHEET_TYPES, type TakesFileTypes } from '../../platform/input/file-body.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { DeleteRoute, ListRoute, ReadRoute } from '../../platform/resources/resource-routes.js';
import { LIMITS } from './reading/limits.js';
import { RefusedRowsService } from './refused-rows.service.js';
import { tooLarge } from './receive-sheet.js';
import {
  FinalTakeQuery,
  MappingInput,
  RefusedRowsQuery,
  SpreadsheetsQuery,
  TakeQuery,
  UploadQuery,
} from './spreadsheet.dto.js';
import { SpreadsheetPage, type SpreadsheetSummary, SpreadsheetView } from './spreadsheet-view.dto.js';
import { SpreadsheetsService } from './spreadsheets.service.js';
import { TakingService } from './taking.service.js';

/** Room for what a form adds around its file. */
const FORM_BYTES = 16_384;

const TakesSheet = (): MethodDecorator =>
  applyDecorators(
    Post(),
    ManagerWork(),
    RouteConfig({ takesFile: true, fileTypes: SHEET_TYPES } satisfies TakesFileTypes),
    ApiOperation({
      summary: 'Send a spreadsheet as it is, and get a proposed mapping',
      description:
        'An .xlsx workbook or a CSV file with any separator and encoding, in a form or as the body. Nothing of it is taken yet: the answer says what each column seems to be, and asks what is doubtful. It is kept for 7 days, or until it is taken.',
    }),
    ApiConsumes('multipart/form-data', ...SHEET_TYPES),
    ApiBody({
      required: true,
      schema: {
        type: 'object',
        properties: { file: { type: 'string', format: 'binary' } },
        required: ['file'],
      },
    }),
    ApiCreatedResponse({ type: SpreadsheetView }),
  );

@ApiTags('spreadsheets')
@Controller('v1/spreadsheets')
export class SpreadsheetsController {
  constructor(
    private readonly spreadsheets: SpreadsheetsService,
    private readonly taking: TakingService,
    private readonly refused: RefusedRowsService,
  ) {}

  @TakesSheet()
  receive(@Req() request: FastifyRequest, @Query() query: UploadQuery): Promise<SpreadsheetView> {
    if (Number(request.headers['content-length'] ?? 0) > LIMITS.fileBytes + FORM_BYTES) throw tooLarge();
    const declared = charsetOf(request.headers['content-type']);
    return this.spreadsheets.receive((take) => receiveFile(request, take), query, declared);
  }

  @ListRoute('List the spreadsheets that are kept, newest first', SpreadsheetPage)
  @ManagerWork()
  list(@Query() query: SpreadsheetsQuery): Promise<Page<SpreadsheetSummary>> {
    return this.spreadsheets.list(query);
  }

  @ReadRoute('Read how a spreadsheet is understood, and what is doubtful', SpreadsheetView)
  @ManagerWork()
  get(@IdParam('spreadsheet') id: string): Promise<SpreadsheetView> {
    return this.spreadsheets.get(id);
  }

  @Patch(':id/mapping')
  @ManagerWork()
  @ApiOperation({
    summary: 'Confirm or change how a spreadsheet is understood',
    description:
      'Answers questions, and says what columns are. What is left out stays as it was. The answer is the new proposal.',
  })
  @ApiOkResponse({ type: SpreadsheetView })
  change(@IdParam('spreadsheet') id: string, @Body() input: MappingInput): Promise<SpreadsheetView> {
    return this.spreadsheets.change(id, input);
  }

  @Post(':id/dry-run')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Check every row of a spreadsheet by its mapping; store nothing' })
  @ApiOkResponse({ type: ImportAnswer })
  tryOut(@IdParam('spreadsheet') id: string, @Query() query: TakeQuery): Promise<ImportAnswer> {
    return this.taking.tryOut(id, query);
  }

  @CsvRoute(
    ':id/refused-rows.csv',
    'Read all rows of a spreadsheet that would be refused, and why',
    'The cells of each row as the file has them, its row number, and all that is wrong with it. Checks every row as a dry run does, and stores nothing. Text that a spreadsheet would take for a formula has an apostrophe before it.',
  )
  @ManagerWork()
  refusedRows(
    @IdParam('spreadsheet') id: string,
    @Query() { bom }: RefusedRowsQuery,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const chunks = this.refused.export(id);
    return sendCsv(reply, { name: 'refused-rows.csv', hasMark: bom === 'true', chunks });
  }

  @Post(':id/take')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Take the rows of a spreadsheet by its mapping',
    description:
      'All rows, or none unless `partial` is true. The answer gives the import, which can be undone. The mapping is kept for the next file with the same header, and the rows are removed here.',
  })
  @ApiOkResponse({ type: ImportAnswer })
  take(@IdParam('spreadsheet') id: string, @Query() query: FinalTakeQuery): Promise<ImportAnswer> {
    return this.taking.take(id, query);
  }

  @DeleteRoute('Remove a spreadsheet. What was taken from it stays')
  remove(@IdParam('spreadsheet') id: string): Promise<void> {
    return this.spreadsheets.remove(id);
  }
}
