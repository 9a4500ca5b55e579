//! A range as people type it: `3-5`, `4`, `4.5-`, `-2`.

use std::str::FromStr;

/// From, to, both included; an end that is left out is open.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Range {
    /// At least.
    pub low: Option<f64>,
    /// At most.
    pub high: Option<f64>,
    /// Both ends were typed without a decimal point.
    whole: bool,
}

impl Range {
    /// Whether a value lies within. Whole ends mean whole values, as in `level 4`: the value is rounded first.
    pub fn holds(&self, value: f64) -> bool {
        let value = if self.whole { value.round() } else { value };
        self.low.is_none_or(|low| value >= low) && self.high.is_none_or(|high| value <= high)
    }
}

impl FromStr for Range {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("`{text}` is no range; write it as 4, 3-5, 3- or -5");
        let number = |end: &str| -> Result<Option<f64>, String> {
            match end.trim() {
                "" => Ok(None),
                end => end.parse().ok().filter(|value: &f64| value.is_finite()).map(Some).ok_or_else(wrong),
            }
        };
        let (low, high) = match text.split_once(['-', '–']) {
            Some((low, high)) => (number(low)?, number(high)?),
            None => (number(text)?, number(text)?),
        };
        if low.is_none() && high.is_none() {
            return Err(wrong());
        }
        if let (Some(low), Some(high)) = (low, high)
            && low > high
        {
            return Err(format!("`{text}` ends before it begins"));
        }
        Ok(Self { low, high, whole: !text.contains('.') })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_hold_their_ends_and_whole_ends_round() {
        let holds = |text: &str, value: f64| text.parse::<Range>().unwrap().holds(value);
        assert!(holds("4", 3.6) && holds("4", 4.4) && !holds("4", 4.6));
        assert!(holds("3-5", 5.4) && !holds("3-5", 5.6));
        assert!(holds("4.5-", 4.5) && !holds("4.5-", 4.4) && holds("4.5-", 99.0));
        assert!(holds("-2", 0.0) && !holds("-2", 2.6));
    }

    #[test]
    fn what_is_no_range_is_said() {
        for text in ["", "-", "a-b", "5-3", "nan", "1-2-3", "inf"] {
            assert!(text.parse::<Range>().is_err(), "{text}");
        }
    }
}
