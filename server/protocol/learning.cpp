#include "protocol/learning.h"
#include "features/shop_gain.h"
#include "host/host.h"
#include "language/said.h"

#include "protocol/progress.h"
#include "protocol/server.h"
#include "protocol/shop_writing.h"
#include "protocol/uri.h"
#include "report/learn.h"
#include "shop/shop.h"

namespace turnwright::protocol {
namespace {

constexpr TableText title = "Learning the shop file";

std::string summary(const report::LearntShop& learnt) {
    const std::string programs =
        learnt.programs == 1 ? said("{} program", learnt.programs) : said("{} programs", learnt.programs);
    std::string text =
        said("Learnt from {}: {} entries that count, {} left to you as comments. Read every line "
             "before you rely on it.",
             programs, learnt.active, learnt.commented);
    if (!learnt.top.empty()) text += said("\nMost useful to answer:");
    for (const std::string& question : learnt.top) text += "\n- " + question;
    return text;
}

Json offer_new_file(Server& server, const std::filesystem::path& path, const report::LearntShop& learnt,
                    const std::string& besides = {}) {
    if (!takes_new_files(server.client())) {
        server.show_message(3, said("This editor does not let a server make a file. Save this as ") +
                                   path.string() + ":\n" + learnt.text);
        return learnt.text;
    }
    const std::string uri = uri_of_path(path);
    const Json create{
        {"kind", "create"}, {"uri", uri}, {"options", Json{{"overwrite", false}, {"ignoreIfExists", false}}}};
    const Json edit{{"textDocument", Json{{"uri", uri}, {"version", nullptr}}},
                    {"edits", Json::array({TextEdit{{}, learnt.text}})}};
    server.endpoint().request(
        "workspace/applyEdit",
        Json{{"label", title}, {"edit", Json{{"documentChanges", Json::array({create, edit})}}}},
        [&server, told = summary(learnt) + besides](const Json& result, const rpc::Error* error) {
            const bool applied = !error && look_flag(result, {"applied"});
            server.show_message(applied ? 3 : 2,
                                applied ? told : said("The editor did not make the new shop file."));
        });
    return learnt.text;
}

Json show_changes(Server& server, const std::filesystem::path& there, const std::string& old,
                  const report::LearntShop& learnt) {
    const std::string changes = report::line_changes(old, learnt.text);
    const std::string text =
        changes.empty()
            ? there.string() + said(" says all of it already.")
            : there.string() + said(" is there and was left as it is. - stands in it, + was learnt:\n") +
                  changes;
    server.show_message(3, text);
    return text;
}

} // namespace

std::filesystem::path folder_to_learn(const Server& server, const features::Document& program) {
    if (!program.shop().path.empty() || program.path().empty()) return {};
    if (!unread_beside(server, program.path()).empty()) return {};
    return home_of(server, program.path()).path;
}

std::string tell_unread(const std::filesystem::path& file) {
    return said("{} lies beside this program and is not read, as the editor has not opened its folder. Open "
                "{} in the editor, and what it states holds.",
                file.filename().string(), file.parent_path().string());
}

std::string gains_in_short(const features::Document& program) {
    std::string list;
    for (const std::string& gain : features::gains_of_a_shop_file(program))
        list += (list.empty() ? "" : ", ") + gain;
    return list;
}

rpc::Content learn_shop_file(Server& server, const OpenDocument& document, const In& params,
                             const rpc::Call& call) {
    const std::filesystem::path program = document.as_it_is().path();
    const bool alone = root_of(server, program).empty();
    const std::filesystem::path root =
        alone ? folder_to_learn(server, document.as_it_is()) : root_of(server, program);
    if (const std::filesystem::path unread = unread_beside(server, program); !unread.empty()) {
        server.show_message(2, tell_unread(unread));
        return nullptr;
    }
    if (root.empty()) {
        server.show_message(
            2, said("No folder that is open in the editor holds this program, so there is nothing "
                    "to learn from."));
        return nullptr;
    }
    if (alone) { // Nothing is read that the editor did not open
        const std::filesystem::path target = root / "turnwright.toml";
        const std::vector<report::ProgramText> own{
            {program, program.filename().generic_string(), document.as_it_is().buffer().whole()}};
        const report::LearntShop learnt = report::learn_shop(own, target, server.programs_as_they_are());
        if (learnt.programs == 0) {
            server.show_message(2, said("There is no part program in ") + program.string() +
                                       said(" to learn from."));
            return nullptr;
        }
        return offer_new_file(server, target, learnt,
                              said("\nIt holds once the editor opens the folder {}.", root.string()));
    }
    std::vector<features::WorkspaceFile> files = server.workspace().files();
    std::erase_if(files, [&](const features::WorkspaceFile& file) { return !lies_in(file.path, root); });
    if (files.size() > report::most_learnt_from) files.resize(report::most_learnt_from);
    const std::filesystem::path there = shop::find_shop_file(program, root);
    host::FileRead old;
    if (!there.empty()) {
        old = server.shop_files().read(there, shop::largest_file);
        if (!old.problem.empty()) {
            server.show_message(2, there.string() + ": " + old.problem);
            return nullptr;
        }
    }
    const auto work = std::make_shared<WorkDone>(server.endpoint(), server.client(), params,
                                                 "turnwright/" + server.new_result_id(), title);
    return server.background().answer(
        call,
        [&server, work, root, there, files = std::move(files), old = std::move(old.bytes),
         library = server.programs_as_they_are()]() -> rpc::Content {
            std::vector<report::ProgramText> programs;
            for (const features::WorkspaceFile& file : files)
                programs.push_back(
                    {file.path, file.path.lexically_relative(root).generic_string(), file.buffer->whole()});
            const std::filesystem::path target = there.empty() ? root / "turnwright.toml" : there;
            const report::LearntShop learnt = report::learn_shop(programs, target, library);
            if (learnt.programs == 0) {
                server.show_message(2, said("There is no part program in ") + root.string() +
                                           said(" to learn from."));
                return nullptr;
            }
            return there.empty() ? offer_new_file(server, target, learnt)
                                 : show_changes(server, there, old, learnt);
        },
        work->token());
}

} // namespace turnwright::protocol
