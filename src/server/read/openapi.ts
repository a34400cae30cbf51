/** The read interface described by OpenAPI 3.1, made of the very schemas that guard it. */
import * as z from 'zod/mini';
import { READ_BASE } from '../../wire/read.ts';
import { refusalSchema } from '../../wire/refusal.ts';
import type { ReadAnswer, ReadRoute } from './read-route.ts';

type Json = Readonly<Record<string, unknown>>;

export function openApi(routes: readonly ReadRoute[]): Json {
  return {
    openapi: '3.1.0',
    info: {
      title: 'Waxend: reading what is recorded',
      version: '1.0.0',
      description:
        'For programs outside. Every answer is of the site whose token or key is sent. Hands are called by pseudonyms.',
    },
    servers: [{ url: READ_BASE }],
    security: [{ token: [] }],
    paths: Object.fromEntries(routes.map((route) => [route.path, { get: operationOf(route) }])),
    components: {
      securitySchemes: { token: { type: 'http', scheme: 'bearer' } },
      schemas: { ...Object.fromEntries(routes.flatMap(schemasOf)), Refusal: schemaOf(refusalSchema) },
      responses: { Refused: answerText('What was asked is not done, and why.', jsonOf('Refusal')) },
    },
  };
}

function operationOf({ name, summary, parts, query, answers }: ReadRoute): Json {
  return {
    operationId: name,
    summary,
    parameters: [...Object.entries(parts).map(partOf), ...(query === null ? [] : queryOf(query))],
    responses: {
      ...Object.fromEntries(Object.entries(answers).map(([status, answer]) => [status, responseOf(answer)])),
      default: { $ref: '#/components/responses/Refused' },
    },
  };
}

function partOf([name, description]: readonly [string, string]): Json {
  return { name, in: 'path', required: true, description, schema: { type: 'string' } };
}

function queryOf(query: z.ZodMiniObject): readonly Json[] {
  const { properties = {}, required = [] } = schemaOf(query) as {
    readonly properties?: Record<string, Json>;
    readonly required?: readonly string[];
  };
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name),
    schema,
  }));
}

function responseOf(answer: ReadAnswer): Json {
  if (answer.is === 'json') return answerText('What was asked for.', jsonOf(answer.name));
  const [type = answer.type] = answer.type.split(';', 1);
  return answerText('The file.', { [type]: {} });
}

function answerText(description: string, content: Json): Json {
  return { description, content };
}

function jsonOf(name: string): Json {
  return { 'application/json': { schema: { $ref: `#/components/schemas/${name}` } } };
}

function schemasOf({ answers }: ReadRoute): readonly (readonly [string, Json])[] {
  return Object.values(answers).flatMap((answer) =>
    answer.is === 'json' ? [[answer.name, schemaOf(answer.schema)] as const] : [],
  );
}

/** As it is read, so that a field may be added without breaking whoever holds answers against it. */
function schemaOf(schema: z.ZodMiniType): Json {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input' });
  return rest;
}
