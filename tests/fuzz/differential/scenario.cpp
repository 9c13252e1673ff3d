#include "fuzz/differential/scenario.h"

#include <algorithm>
#include <array>

namespace turnwright::fuzz {
namespace {

constexpr std::array<const char*, 7> kinds{"open", "change", "save", "close", "write", "erase", "ask"};

Json written(const Edit& edit) {
    if (edit.whole) return {{"text", edit.text}};
    return {{"range",
             {{"start", {{"line", edit.begin.line}, {"character", edit.begin.character}}},
              {"end", {{"line", edit.end.line}, {"character", edit.end.character}}}}},
            {"text", edit.text}};
}

Place read_place(const Json& json) {
    return {json.at("line").get<std::uint32_t>(), json.at("character").get<std::uint32_t>()};
}

Edit read_edit(const Json& json) {
    Edit edit;
    edit.text = json.at("text").get<std::string>();
    edit.whole = !json.contains("range");
    if (edit.whole) return edit;
    edit.begin = read_place(json["range"].at("start"));
    edit.end = read_place(json["range"].at("end"));
    return edit;
}

Step read_step(const Json& json) {
    Step step;
    const auto kind = std::find(kinds.begin(), kinds.end(), json.at("step").get<std::string>());
    if (kind != kinds.end()) step.kind = static_cast<Step::Kind>(kind - kinds.begin());
    step.file = json.at("file").get<std::string>();
    step.text = json.value("text", "");
    for (const Json& edit : json.value("edits", Json::array())) step.edits.push_back(read_edit(edit));
    return step;
}

/// Bytes of the UTF-8 character that begins with `first`.
std::size_t length_of(char first) {
    const auto byte = static_cast<unsigned char>(first);
    return byte < 0x80 ? 1 : byte < 0xE0 ? 2 : byte < 0xF0 ? 3 : 4;
}

std::uint32_t units_of(std::size_t bytes, const std::string& encoding) {
    if (encoding == "utf-8") return static_cast<std::uint32_t>(bytes);
    return encoding == "utf-16" && bytes == 4 ? 2 : 1;
}

void move_up(std::uint32_t& line, std::size_t first, std::size_t count) {
    if (line >= first + count)
        line -= static_cast<std::uint32_t>(count);
    else if (line > first)
        line = static_cast<std::uint32_t>(first);
}

void move_up(Json& json, std::size_t first, std::size_t count) {
    if (!json.is_structured()) return;
    for (auto& [key, value] : json.items()) {
        if (key == "line" && value.is_number_unsigned()) {
            auto line = value.get<std::uint32_t>();
            move_up(line, first, count);
            value = line;
        } else {
            move_up(value, first, count);
        }
    }
}

} // namespace

Json written(const Scenario& scenario) {
    Json batches = Json::array();
    for (const Batch& batch : scenario.batches) {
        Json steps = Json::array();
        for (const Step& step : batch) {
            Json out{{"step", kinds[static_cast<std::size_t>(step.kind)]}, {"file", step.file}};
            if (!step.text.empty()) out["text"] = step.text;
            for (const Edit& edit : step.edits) out["edits"].push_back(written(edit));
            steps.push_back(std::move(out));
        }
        batches.push_back(std::move(steps));
    }
    Json out{{"seed", scenario.seed},
             {"encoding", scenario.encoding},
             {"push", scenario.push},
             {"ask_all", scenario.ask_all},
             {"batches", std::move(batches)}};
    if (!scenario.question.method.empty())
        out["question"] = {{"method", scenario.question.method},
                           {"file", scenario.question.file},
                           {"params", scenario.question.params}};
    return out;
}

Scenario read_scenario(const Json& json) {
    Scenario scenario;
    scenario.seed = json.value("seed", 0U);
    scenario.encoding = json.value("encoding", "utf-16");
    scenario.push = json.value("push", false);
    scenario.ask_all = json.value("ask_all", true);
    for (const Json& batch : json.at("batches")) {
        scenario.batches.emplace_back();
        for (const Json& step : batch) scenario.batches.back().push_back(read_step(step));
    }
    if (json.contains("question")) {
        const Json& question = json["question"];
        scenario.question = {question.at("method"), question.at("file"), question.at("params")};
    }
    return scenario;
}

ClientText::ClientText(std::string text, std::string encoding)
    : text_(std::move(text)), encoding_(std::move(encoding)) {
    find_lines();
}

void ClientText::find_lines() {
    starts_.assign(1, 0);
    for (std::size_t i = 0; i < text_.size(); ++i)
        if (text_[i] == '\n' || (text_[i] == '\r' && (i + 1 == text_.size() || text_[i + 1] != '\n')))
            starts_.push_back(i + 1);
}

std::string_view ClientText::line(std::size_t line) const {
    std::string_view all = lines(line);
    while (!all.empty() && (all.back() == '\n' || all.back() == '\r')) all.remove_suffix(1);
    return all;
}

std::string_view ClientText::line_end(std::size_t line) const {
    return lines(line).substr(this->line(line).size());
}

std::string_view ClientText::lines(std::size_t first, std::size_t count) const {
    if (first >= starts_.size()) return {};
    const std::size_t behind = std::min(first + count, starts_.size());
    const std::size_t stop = behind < starts_.size() ? starts_[behind] : text_.size();
    return std::string_view(text_).substr(starts_[first], stop - starts_[first]);
}

std::uint32_t ClientText::characters_before(std::size_t line, std::size_t byte) const {
    const std::string_view text = this->line(line);
    std::uint32_t count = 0;
    for (std::size_t at = 0; at < std::min(byte, text.size());) {
        const std::size_t length = length_of(text[at]);
        count += units_of(length, encoding_);
        at += length;
    }
    return count;
}

Place ClientText::end() const {
    const std::size_t last = starts_.size() - 1;
    return {static_cast<std::uint32_t>(last), characters_before(last, line(last).size())};
}

std::size_t ClientText::byte_at(Place place) const {
    if (place.line >= starts_.size()) return text_.size();
    const std::string_view text = line(place.line);
    std::size_t at = 0;
    for (std::uint32_t count = 0; at < text.size() && count < place.character;) {
        const std::size_t length = length_of(text[at]);
        const std::uint32_t units = units_of(length, encoding_);
        if (count + units > place.character) break; // inside a character: its start
        count += units;
        at += length;
    }
    return starts_[place.line] + at;
}

void ClientText::apply(const Edit& edit) {
    if (edit.whole) {
        text_ = edit.text;
    } else {
        const std::size_t begin = byte_at(edit.begin);
        text_.replace(begin, byte_at(edit.end) - begin, edit.text);
    }
    find_lines();
}

void follow(const Step& step, const std::string& encoding, OpenTexts& open, std::vector<std::string>& order) {
    switch (step.kind) {
    case Step::Kind::open:
        open[step.file] = {ClientText(step.text, encoding), 1};
        std::erase(order, step.file);
        order.push_back(step.file);
        break;
    case Step::Kind::change:
        for (const Edit& edit : step.edits) open[step.file].text.apply(edit);
        ++open[step.file].version;
        break;
    case Step::Kind::close:
        open.erase(step.file);
        std::erase(order, step.file);
        break;
    default:
        break;
    }
}

Scenario without_lines(const Scenario& scenario, std::size_t batch, std::size_t step, std::size_t first,
                       std::size_t count) {
    Scenario shorter = scenario;
    Step& opened = shorter.batches[batch][step];
    const ClientText text(opened.text, scenario.encoding);
    opened.text =
        std::string(text.lines(0, first)) + std::string(text.lines(first + count, text.line_count()));
    for (std::size_t b = batch; b < shorter.batches.size(); ++b)
        for (Step& later : shorter.batches[b])
            if (later.file == opened.file)
                for (Edit& edit : later.edits) {
                    move_up(edit.begin.line, first, count);
                    move_up(edit.end.line, first, count);
                }
    if (shorter.question.file == opened.file) move_up(shorter.question.params, first, count);
    return shorter;
}

} // namespace turnwright::fuzz
