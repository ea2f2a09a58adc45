//! temp
/// P
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /** b */
    pub bars: Vec<Bar>,
    /** b */
    pub bound: usize,
}
/// B
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /** c */
    pub parts: Vec<Part>,
    /** l */
    pub offcut: f64,
}
/// C
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /** p */
    pub index: usize,
    /** s */
    pub start: f64,
    /** l */
    pub length: f64,
    /** n */
    pub number: usize,
    /** o */
    pub of: usize,
}
/// C
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /** p */
    pub index: usize,
    /** l */
    pub length: f64,
}
impl Plan {
    /** u */
    pub fn used(&self) -> usize {
        self.bars.len()
    }
}
/// plan
pub fn cut(stock: f64, _kerf: f64, lengths: &[Piece]) -> Result<Plan, String> {
    let mut bars: Vec<Bar> = Vec::new();
    let mut order = lengths.to_vec();
    order.sort_by(|a, b| b.length.total_cmp(&a.length));
    for i in order {
        let mut rest = i.length;
        while rest > 0.0 {
            let take = rest.min(stock);
            let bar = match bars.iter_mut().find(|b| b.offcut >= take - 1e-9) {
                Some(b) => b,
                None => {
                    bars.push(Bar {
                        parts: vec![],
                        offcut: stock,
                    });
                    bars.last_mut().ok_or("x")?
                }
            };
            bar.parts.push(Part {
                index: i.index,
                start: stock - bar.offcut,
                length: take,
                number: 1,
                of: 1,
            });
            bar.offcut -= take;
            rest -= take;
        }
    }
    let bound = bars.len();
    Ok(Plan { bars, bound })
}
