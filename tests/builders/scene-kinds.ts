/** What a generated photo is a case of. */
export const SCENE_KINDS = [
  'plain knit',
  'plain purl',
  'near-black',
  'stripes',
  'marl',
  'heather and speckle',
  'fuzzy',
  'needle gaps',
  'rib',
  'garter',
  'poor photo',
  'small in the picture',
  'close up',
] as const;

export type SceneKind = (typeof SCENE_KINDS)[number];
