/** A photo that a newcomer can try the tool on. */
export interface SamplePhoto {
  /** Stays the same for good; also the name of the file. */
  readonly name: string;
  /** One sentence that says what it shows. */
  readonly title: string;
  readonly url: string;
  /** Spacing of the heavy lines of its mat in mm, to be suggested; null where no mat is in the photo. */
  readonly gridPitchMm: number | null;
}

/** Sample photos, the easiest first. All show invented yarns and were made for this project. */
export const samplePhotos: readonly SamplePhoto[] = [
  {
    name: 'oatmeal-inch-mat',
    title: 'Oatmeal yarn, plain, on a mat ruled in inches',
    url: new URL('./oatmeal-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'oatmeal-tighter-inch-mat',
    title: 'The same oatmeal yarn with the cam set tighter',
    url: new URL('./oatmeal-tighter-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'oatmeal-looser-inch-mat',
    title: 'The same oatmeal yarn with the cam set looser',
    url: new URL('./oatmeal-looser-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'teal-heather-cm-mat',
    title: 'Teal heather on a mat ruled in centimetres',
    url: new URL('./teal-heather-cm-mat.jpg', import.meta.url).href,
    gridPitchMm: 10,
  },
  {
    name: 'charcoal-pale-inch-mat',
    title: 'Charcoal yarn on a pale mat with dark lines',
    url: new URL('./charcoal-pale-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'rose-purl-inch-mat',
    title: 'The purl side of a rose swatch',
    url: new URL('./rose-purl-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'fine-gauge-inch-mat',
    title: 'A fine gauge, nearly eleven stitches to the inch',
    url: new URL('./fine-gauge-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'thick-yarn-cm-mat',
    title: 'Thick yarn on a mat ruled in centimetres',
    url: new URL('./thick-yarn-cm-mat.jpg', import.meta.url).href,
    gridPitchMm: 10,
  },
  {
    name: 'marl-upright-inch-mat',
    title: 'Two-colour marl, photographed upright',
    url: new URL('./marl-upright-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'white-shadow-inch-mat',
    title: 'White yarn with a shadow across it',
    url: new URL('./white-shadow-inch-mat.jpg', import.meta.url).href,
    gridPitchMm: 25.4,
  },
  {
    name: 'mock-rib-cm-mat',
    title: 'Mock rib: every fourth needle taken out',
    url: new URL('./mock-rib-cm-mat.jpg', import.meta.url).href,
    gridPitchMm: 10,
  },
  {
    name: 'striped-tube-card',
    title: 'A striped tube beside a bank-card-sized card',
    url: new URL('./striped-tube-card.jpg', import.meta.url).href,
    gridPitchMm: null,
  },
  {
    name: 'speckled-steel-ruler',
    title: 'Speckled yarn beside a steel ruler in sixteenths of an inch',
    url: new URL('./speckled-steel-ruler.jpg', import.meta.url).href,
    gridPitchMm: null,
  },
];
