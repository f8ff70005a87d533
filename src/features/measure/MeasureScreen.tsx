/** The main screen: from a photo of a swatch to its gauge. */
const MeasureScreen = () => <h1 className="page">Measure</h1>;

export default MeasureScreen;
